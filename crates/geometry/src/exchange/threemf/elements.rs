//! What the elements of a 3MF model say.

use super::attributes::{Attributes, colour, number, text, whole};
use super::model::{Content, Object, Placed, Purpose, Transform};
use super::parser::{CORE, Fault, MATERIALS, Open, Parser};
use crate::exchange::Unit;
use crate::exchange::faces::Tint;

const PRODUCTION: &str = "http://schemas.microsoft.com/3dmanufacturing/production/2015/06";
const TRIANGLE_SETS: &str = "http://schemas.microsoft.com/3dmanufacturing/trianglesets/2021/07";

/// What may be required without our reading all of it: these say nothing about the shape.
const HARMLESS: [&str; 4] = [CORE, PRODUCTION, MATERIALS, TRIANGLE_SETS];

/// Each takes what stands behind the element's name, and says what is then open.
impl Parser {
    pub(super) fn begin_model(&mut self, raw: &str) -> Result<Open, Fault> {
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

    pub(super) fn begin_materials(&mut self, raw: &str) -> Result<Open, Fault> {
        let id = whole(&attribute(raw, "id")?.ok_or_else(|| "a group of materials has no id".to_owned())?)?;
        self.materials.insert(id, Vec::new());
        Ok(Open::Materials(id))
    }

    pub(super) fn material(&mut self, id: u32, raw: &str) -> Result<Open, Fault> {
        let shown = match attribute(raw, "displaycolor")? {
            Some(shown) => Some(shown),
            None => attribute(raw, "color")?,
        };
        let shown = shown.ok_or_else(|| "a material has no colour".to_owned())?;
        self.materials.entry(id).or_default().push(colour(&shown)?);
        Ok(Open::Other)
    }

    pub(super) fn begin_object(&mut self, raw: &str) -> Result<Open, Fault> {
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

    pub(super) fn vertex(&mut self, raw: &str, is_empty: bool) -> Result<(), Fault> {
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

    pub(super) fn triangle(&mut self, raw: &str, is_empty: bool) -> Result<(), Fault> {
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

    pub(super) fn component(&mut self, raw: &str) -> Result<Open, Fault> {
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

    pub(super) fn item(&mut self, raw: &str) -> Result<Open, Fault> {
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
