//! From the XML of a model part to a [`Model`]: which element stands where. What each of them says is read in
//! `elements.rs`.

use super::attributes::{Attributes, text};
use super::model::{Content, Model, Object};
use super::package::{NO_DTD, Package};
use super::told;
use crate::exchange::{ReadProblem, Remark};
use crate::{Cancelled, Progress};
use quick_xml::events::{BytesStart, Event};
use std::collections::HashMap;

pub(super) const CORE: &str = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02";
pub(super) const MATERIALS: &str = "http://schemas.microsoft.com/3dmanufacturing/material/2015/02";

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
pub(super) enum Fault {
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
pub(super) enum Open {
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
pub(super) struct Parser {
    pub(super) model: Model,
    pub(super) is_root: bool,
    seen_model: bool,
    pub(super) open: Vec<Open>,
    /// Prefixes and what they stand for; later ones count.
    spaces: Vec<(String, String)>,
    /// What the prefix of the element at hand stands for is asked for so often that the core's is kept.
    core_prefix: String,
    pub(super) materials: HashMap<u32, Vec<[u8; 4]>>,
    pub(super) object: Option<Object>,
    /// The material of the object at hand, which its triangles have if they name none.
    pub(super) object_colour: Option<(u32, u32)>,
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

    /// What the prefix of a name stands for, and the name without it.
    pub(super) fn space_of<'a>(&'a self, name: &'a str) -> (Option<&'a str>, &'a str) {
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
}
