//! From the XML of a model part to a [`Model`].

use super::attributes::{Attributes, colour, number, text, whole};
use super::model::{Content, Model, Object, Placed, Purpose, Transform};
use super::package::{NO_DTD, Package};
use super::told;
use crate::exchange::faces::Tint;
use crate::exchange::{ReadProblem, Remark, Unit};
use crate::{Cancelled, Progress};
use quick_xml::events::{BytesStart, Event};
use std::collections::HashMap;

const CORE: &str = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02";
const PRODUCTION: &str = "http://schemas.microsoft.com/3dmanufacturing/production/2015/06";
const MATERIALS: &str = "http://schemas.microsoft.com/3dmanufacturing/material/2015/02";
const TRIANGLE_SETS: &str = "http://schemas.microsoft.com/3dmanufacturing/trianglesets/2021/07";

/// What may be required without our reading all of it: these say nothing about the shape.
const HARMLESS: [&str; 4] = [CORE, PRODUCTION, MATERIALS, TRIANGLE_SETS];

/// Events between two looks at the progress handle.
const EVENTS_PER_REPORT: u64 = 1 << 15;

impl Model {
    /// Reads a model part. The root model is where the package begins; others may neither have a build nor name
    /// further parts.
    pub(super) fn read(
        package: &mut Package,
        part: &str,
        is_root: bool,
        progress: &Progress,
    ) -> Result<Model, ReadProblem> {
        let length = package.stated_length(part).max(1) as f64;
        let mut reader = quick_xml::Reader::from_reader(package.part(part)?);
        let mut parser = Parser { is_root, ..Parser::default() };
        parser.model.part = part.to_owned();
        let (mut buffer, mut events) = (Vec::new(), 0_u64);
        loop {
            events += 1;
            if events.is_multiple_of(EVENTS_PER_REPORT) {
                progress.check()?;
                progress.report(reader.buffer_position() as f64 / length);
            }
            buffer.clear();
            let event = reader.read_event_into(&mut buffer);
            let done = match event {
                Err(error) => Err(Fault::Text(format!("{error}; copy or export it again"))),
                Ok(Event::Start(element)) => parser.begin(&element, false),
                Ok(Event::Empty(element)) => parser.begin(&element, true),
                Ok(Event::End(_)) => parser.end(),
                Ok(Event::DocType(_)) => Err(Fault::Text(NO_DTD.to_owned())),
                Ok(Event::Eof) => break,
                Ok(_) => Ok(()),
            };
            done.map_err(|fault| match fault {
                Fault::Text(what) => told(part, format!("byte {}: {what}", reader.buffer_position())),
                Fault::Object(number, what) => ReadProblem::Element {
                    element: "object",
                    number: u64::from(number),
                    what: format!("of {part} {what}"),
                },
                Fault::Problem(problem) => problem,
            })?;
        }
        if !parser.open.is_empty() {
            return Err(told(part, "it ends in the middle of an element: it was cut short; copy or export it again"));
        }
        if !parser.seen_model {
            return Err(told(part, "there is no model in it; export the model again"));
        }
        Ok(parser.finish())
    }
}

/// What is wrong, and where.
enum Fault {
    Text(String),
    /// With the object of this number.
    Object(u32, String),
    Problem(ReadProblem),
}

impl From<String> for Fault {
    fn from(what: String) -> Fault {
        Fault::Text(format!("{what}; export the model again"))
    }
}

impl From<Cancelled> for Fault {
    fn from(cancelled: Cancelled) -> Fault {
        Fault::Problem(cancelled.into())
    }
}

/// The element that is open.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Open {
    Model,
    Resources,
    Materials(u32),
    Object,
    Mesh,
    Vertices,
    Triangles,
    Components,
    Build,
    /// Something whose content says nothing to us.
    Other,
}

#[derive(Debug, Default)]
struct Parser {
    model: Model,
    is_root: bool,
    seen_model: bool,
    open: Vec<Open>,
    /// Prefixes and what they stand for; later ones count.
    spaces: Vec<(String, String)>,
    /// What the prefix of the element at hand stands for is asked for so often that the core's is kept.
    core_prefix: String,
    materials: HashMap<u32, Vec<[u8; 4]>>,
    object: Option<Object>,
    /// The material of the object at hand, which its triangles have if they name none.
    object_colour: Option<(u32, u32)>,
    passed: HashMap<String, u64>,
}

impl Parser {
    fn finish(mut self) -> Model {
        let mut passed: Vec<_> = self.passed.into_iter().collect();
        passed.sort();
        for (what, count) in passed {
            self.model.remarks.push(Remark { count, what });
        }
        self.model
    }

    fn space_of<'a>(&'a self, name: &'a str) -> (Option<&'a str>, &'a str) {
        let (prefix, local) = name.split_once(':').unwrap_or(("", name));
        let space = self.spaces.iter().rev().find(|(known, _)| known == prefix);
        (space.map(|(_, space)| space.as_str()), local)
    }

    fn begin(&mut self, element: &BytesStart, is_empty: bool) -> Result<(), Fault> {
        let name = element.name();
        let name: &str = name.as_ref();
        let raw = element.attributes_raw();
        let at = self.open.last().copied();
        // The millions of vertices and triangles come first and fast.
        let open = match (at, name) {
            (Some(Open::Vertices), "vertex") if self.core_prefix.is_empty() => return self.vertex(raw, is_empty),
            (Some(Open::Triangles), "triangle") if self.core_prefix.is_empty() => return self.triangle(raw, is_empty),
            _ => self.other(name, raw, at)?,
        };
        if is_empty {
            self.close(open)
        } else {
            self.open.push(open);
            Ok(())
        }
    }

    fn other(&mut self, name: &str, raw: &str, at: Option<Open>) -> Result<Open, Fault> {
        for attribute in Attributes::new(raw) {
            let (name, value) = attribute?;
            let prefix = name.strip_prefix("xmlns").map(|rest| rest.strip_prefix(':').unwrap_or(rest));
            if let Some(prefix) = prefix {
                let space = text(value)?.into_owned();
                if space == CORE && self.core_prefix != prefix && at.is_none() {
                    self.core_prefix = prefix.to_owned();
                }
                self.spaces.push((prefix.to_owned(), space));
            }
        }
        let (space, local) = self.space_of(name);
        let (is_core, is_materials) = (space == Some(CORE), space == Some(MATERIALS));
        if at.is_none() {
            if !is_core || local != "model" {
                let what = format!("it begins with {name:?} and not with a model of the 3MF core specification");
                return Err(Fault::Text(format!("{what}; choose another file")));
            }
            self.seen_model = true;
            return self.begin_model(raw);
        }
        let local = local.to_owned();
        Ok(match (at, local.as_str()) {
            (Some(Open::Model), "resources") if is_core => Open::Resources,
            (Some(Open::Model), "build") if is_core => Open::Build,
            (Some(Open::Resources), "object") if is_core => self.begin_object(raw)?,
            (Some(Open::Resources), "basematerials") if is_core => self.begin_materials(raw)?,
            (Some(Open::Resources), "colorgroup") if is_materials => self.begin_materials(raw)?,
            (Some(Open::Materials(id)), "base" | "color") if is_core || is_materials => self.material(id, raw)?,
            (Some(Open::Object), "mesh") if is_core => Open::Mesh,
            (Some(Open::Object), "components") if is_core => Open::Components,
            (Some(Open::Mesh), "vertices") if is_core => Open::Vertices,
            (Some(Open::Mesh), "triangles") if is_core => Open::Triangles,
            (Some(Open::Vertices), "vertex") if is_core => {
                self.vertex(raw, true)?;
                Open::Other
            }
            (Some(Open::Triangles), "triangle") if is_core => {
                self.triangle(raw, true)?;
                Open::Other
            }
            (Some(Open::Components), "component") if is_core => self.component(raw)?,
            (Some(Open::Build), "item") if is_core => self.item(raw)?,
            (Some(Open::Resources | Open::Object | Open::Mesh | Open::Build), _) if !is_core => {
                let what = format!("elements {name:?} of extensions: passed over");
                *self.passed.entry(what).or_default() += 1;
                Open::Other
            }
            _ => Open::Other,
        })
    }

    fn end(&mut self) -> Result<(), Fault> {
        match self.open.pop() {
            Some(open) => self.close(open),
            None => Ok(()), // quick-xml has complained already
        }
    }

    fn close(&mut self, open: Open) -> Result<(), Fault> {
        if open != Open::Object {
            return Ok(());
        }
        let Some(object) = self.object.take() else { return Ok(()) };
        if let Content::Mesh { vertices, triangles } = &object.content {
            let missing = triangles.iter().position(|t| t.iter().any(|&i| i as usize >= vertices.len()));
            if let Some(t) = missing {
                let what = format!(
                    "has triangle {t}, counted from 0, that names a vertex of which there are {}",
                    vertices.len()
                );
                return Err(Fault::Object(object.id, format!("{what}; export the model again")));
            }
        }
        self.model.numbers.insert(object.id, self.model.objects.len());
        self.model.objects.push(object);
        Ok(())
    }

    fn begin_model(&mut self, raw: &str) -> Result<Open, Fault> {
        for attribute in Attributes::new(raw) {
            let (name, value) = attribute?;
            let value = text(value)?;
            match name {
                "unit" => {
                    let unit = Unit::ALL.into_iter().find(|unit| unit.name() == value);
                    self.model.unit = unit.ok_or_else(|| format!("there is no unit {value:?} in 3MF"))?;
                }
                "requiredextensions" => {
                    for prefix in value.split_ascii_whitespace() {
                        let space = self.space_of(&format!("{prefix}:")).0.map(str::to_owned);
                        let space = space
                            .ok_or_else(|| format!("it requires an extension {prefix:?} that it does not declare"))?;
                        if !HARMLESS.contains(&space.as_str()) {
                            return Err(Fault::Text(format!(
                                "it requires the extension {} ({space}), which is not read, and without which its shape is not whole; export the model as plain triangles",
                                extension_name(&space)
                            )));
                        }
                    }
                }
                _ => {}
            }
        }
        Ok(Open::Model)
    }

    fn begin_materials(&mut self, raw: &str) -> Result<Open, Fault> {
        let id = whole(&attribute(raw, "id")?.ok_or_else(|| "a group of materials has no id".to_owned())?)?;
        self.materials.insert(id, Vec::new());
        Ok(Open::Materials(id))
    }

    fn material(&mut self, id: u32, raw: &str) -> Result<Open, Fault> {
        let shown = match attribute(raw, "displaycolor")? {
            Some(shown) => Some(shown),
            None => attribute(raw, "color")?,
        };
        let shown = shown.ok_or_else(|| "a material has no colour".to_owned())?;
        self.materials.entry(id).or_default().push(colour(&shown)?);
        Ok(Open::Other)
    }

    fn begin_object(&mut self, raw: &str) -> Result<Open, Fault> {
        let id = whole(&attribute(raw, "id")?.ok_or_else(|| "an object has no id".to_owned())?)?;
        if self.model.numbers.contains_key(&id) {
            return Err(Fault::Text(format!("there are two objects with the id {id}; export the model again")));
        }
        let purpose = match attribute(raw, "type")?.as_deref() {
            None | Some("model" | "surface") => Purpose::Made,
            Some("support" | "solidsupport") => Purpose::Support,
            Some("other") => Purpose::Other,
            Some(other) => return Err(format!("object {id} is of the unknown type {other:?}").into()),
        };
        let index = |name| attribute(raw, name)?.map(|value| whole(&value)).transpose();
        self.object_colour = index("pid")?.zip(index("pindex")?);
        self.object = Some(Object {
            id,
            name: attribute(raw, "name")?.unwrap_or_default(),
            purpose,
            tint: Tint::None,
            content: Content::Mesh { vertices: Vec::new(), triangles: Vec::new() },
        });
        let tint = self.object_colour.map_or(Tint::None, |(group, index)| self.tint(group, index));
        if let Some(object) = &mut self.object {
            object.tint = tint;
        }
        Ok(Open::Object)
    }

    fn tint(&self, group: u32, index: u32) -> Tint {
        let colour = self.materials.get(&group).and_then(|colours| colours.get(index as usize));
        colour.map_or(Tint::None, |&colour| Tint::One(colour))
    }

    fn vertex(&mut self, raw: &str, is_empty: bool) -> Result<(), Fault> {
        let mut place = [None; 3];
        for attribute in Attributes::new(raw) {
            let (name, value) = attribute?;
            let axis = match name {
                "x" => 0,
                "y" => 1,
                "z" => 2,
                _ => continue,
            };
            place[axis] = Some(number(value)?);
        }
        let [Some(x), Some(y), Some(z)] = place else {
            return Err("a vertex lacks one of x, y and z".to_owned().into());
        };
        if let Some(Object { content: Content::Mesh { vertices, .. }, .. }) = &mut self.object {
            vertices.push([x, y, z]);
        }
        if !is_empty {
            self.open.push(Open::Other);
        }
        Ok(())
    }

    fn triangle(&mut self, raw: &str, is_empty: bool) -> Result<(), Fault> {
        let mut corners = [None; 3];
        let (mut group, mut of_corner) = (None, [None; 3]);
        for attribute in Attributes::new(raw) {
            let (name, value) = attribute?;
            match name {
                "v1" => corners[0] = Some(whole(value)?),
                "v2" => corners[1] = Some(whole(value)?),
                "v3" => corners[2] = Some(whole(value)?),
                "pid" => group = Some(whole(value)?),
                "p1" => of_corner[0] = Some(whole(value)?),
                "p2" => of_corner[1] = Some(whole(value)?),
                "p3" => of_corner[2] = Some(whole(value)?),
                _ => {}
            }
        }
        let [Some(a), Some(b), Some(c)] = corners else {
            return Err("a triangle lacks one of v1, v2 and v3".to_owned().into());
        };
        let group = group.or(self.object_colour.map(|(group, _)| group));
        let mut tint = Tint::None;
        if let Some((group, first)) = group.zip(of_corner[0]) {
            let others = of_corner[1..].iter().flatten();
            tint = others.fold(self.tint(group, first), |tint, &index| tint.and(self.tint(group, index)));
        }
        if let Some(Object { content: Content::Mesh { triangles, .. }, tint: whole, .. }) = &mut self.object {
            triangles.push([a, b, c]);
            // A triangle's own colour counts instead of the object's; the first one takes its place.
            *whole = if triangles.len() == 1 && tint != Tint::None { tint } else { whole.and(tint) };
        }
        if !is_empty {
            self.open.push(Open::Other);
        }
        Ok(())
    }

    fn component(&mut self, raw: &str) -> Result<Open, Fault> {
        let placed = self.placed(raw)?;
        if placed.path.is_none() && !self.model.numbers.contains_key(&placed.object) {
            return Err(format!("a component names object {}, which is not defined before it", placed.object).into());
        }
        let Some(object) = &mut self.object else { return Ok(Open::Other) };
        match &mut object.content {
            Content::Components(components) => components.push(placed),
            Content::Mesh { vertices, .. } if vertices.is_empty() => object.content = Content::Components(vec![placed]),
            Content::Mesh { .. } => {
                return Err(Fault::Object(
                    object.id,
                    "has both a mesh and components; export the model again".to_owned(),
                ));
            }
        }
        Ok(Open::Other)
    }

    fn item(&mut self, raw: &str) -> Result<Open, Fault> {
        if !self.is_root {
            return Ok(Open::Other); // the production extension: only the root's build counts
        }
        let placed = self.placed(raw)?;
        if placed.path.is_none() {
            let Some(&number) = self.model.numbers.get(&placed.object) else {
                return Err(format!("the build names object {}, which is not defined", placed.object).into());
            };
            if self.model.objects.get(number).is_some_and(|object| object.purpose == Purpose::Other) {
                return Err(format!(
                    "the build names object {}, whose type \"other\" is not to be built",
                    placed.object
                )
                .into());
            }
        }
        self.model.items.push(placed);
        Ok(Open::Other)
    }

    fn placed(&self, raw: &str) -> Result<Placed, Fault> {
        let mut placed = Placed { path: None, object: 0, transform: Transform::IDENTITY, name: String::new() };
        let mut object = None;
        for attribute in Attributes::new(raw) {
            let (name, value) = attribute?;
            match name {
                "objectid" => object = Some(whole(value)?),
                "transform" => placed.transform = transform(value)?,
                "partnumber" => placed.name = text(value)?.into_owned(),
                _ if name.contains(':') && self.space_of(name) == (Some(PRODUCTION), "path") => {
                    if !self.is_root {
                        return Err("only the root model may name objects of other parts".to_owned().into());
                    }
                    placed.path = Some(text(value)?.into_owned());
                }
                _ => {}
            }
        }
        placed.object = object.ok_or_else(|| "a component or item names no object".to_owned())?;
        Ok(placed)
    }
}

/// The value of one attribute, character references resolved.
fn attribute(raw: &str, wanted: &str) -> Result<Option<String>, String> {
    for attribute in Attributes::new(raw) {
        let (name, value) = attribute?;
        if name == wanted {
            return Ok(Some(text(value)?.into_owned()));
        }
    }
    Ok(None)
}

fn transform(value: &str) -> Result<Transform, String> {
    let mut transform = Transform::IDENTITY;
    let mut words = value.split_ascii_whitespace();
    for place in transform.rows.as_flattened_mut() {
        *place = number(words.next().ok_or_else(|| format!("the transform {value:?} has not 12 numbers"))?)?;
    }
    if words.next().is_some() {
        return Err(format!("the transform {value:?} has more than 12 numbers"));
    }
    Ok(transform)
}

/// The consortium's own word for an extension, taken from its name space.
fn extension_name(space: &str) -> &str {
    let mut words = space.rsplit('/').filter(|word| word.chars().any(|c| c.is_ascii_alphabetic()));
    words.next().unwrap_or(space)
}
