//! Objects put where the build of a 3MF model wants them.

use super::model::{Content, Model, Object, Placed, Purpose, Transform};
use crate::exchange::faces::{Assembled, MERGING, Tint};
use crate::exchange::model::Part;
use crate::exchange::{ReadProblem, Remark};
use crate::merge::{drop_unused_vertices, unify};
use crate::{EdgeTable, Mesh, Progress};
use std::collections::HashMap;

/// Objects may be placed so many times in all (our own choice, no source): few bytes can ask for any number.
const MOST_PLACES: u64 = 1 << 20;

/// Placed triangles may be so many times those in the file (our own choice, no source) …
const MOST_COPIES: u64 = 64;

/// … or so many in any case (our own choice, no source; they take some 400 MB).
const ALWAYS_ALLOWED: u64 = 1 << 24;

/// Makes one part of every mesh at every place. An object that is mirrored by its transform is turned outwards again,
/// as the specification has it. A stage of its own for `progress`.
pub(super) fn place(
    files: Vec<Model>,
    parts: &HashMap<String, usize>,
    progress: &Progress,
) -> Result<Assembled, ReadProblem> {
    if files[0].items.is_empty() {
        return Err(ReadProblem::Told(format!(
            "nothing in this 3MF file is to be built: its build is empty, and {} objects lie beside it; export the model again",
            files[0].objects.len()
        )));
    }
    let mut made = Assembled::default();
    let mut places = Places::new(files, parts);
    let total = places.count()?;
    progress.stage(MERGING);
    let (mut mirrored, mut supports) = (0, 0);
    let mut waiting: Vec<(usize, Placed)> = places.files[0].items.iter().rev().map(|item| (0, item.clone())).collect();
    while let Some((file, placed)) = waiting.pop() {
        progress.check()?;
        let at = places.find(file, &placed)?;
        let object = &mut places.files[at.0].objects[at.1];
        match object.purpose {
            Purpose::Support => {
                supports += 1;
                continue;
            }
            Purpose::Other | Purpose::Made => {}
        }
        if let Content::Components(components) = &object.content {
            for component in components.iter().rev() {
                let mut inner = component.clone();
                inner.transform = component.transform.then(&placed.transform);
                inner.name = if object.name.is_empty() { placed.name.clone() } else { object.name.clone() };
                waiting.push((at.0, inner));
            }
            continue;
        }
        let is_mirrored = placed.transform.determinant() < 0.0;
        mirrored += u64::from(is_mirrored);
        let part = places.part(at, &placed, is_mirrored, progress)?;
        made.facets += part.1;
        progress.report(made.facets as f64 / total.max(1) as f64);
        made.collapsed += part.2;
        made.parts.extend(Some(part.0).filter(|part| !part.mesh.triangles.is_empty()));
    }
    let mut remark = |count: u64, what: &str| {
        if count > 0 {
            made.remarks.push(Remark { count, what: what.to_owned() });
        }
    };
    remark(supports, "objects hold others up while they are printed: left out");
    remark(mirrored, "objects are mirrored by their place: turned outwards again");
    remark(places.mixed, "objects have more than one colour: colours not used");
    made.remarks.extend(places.files.into_iter().flat_map(|file| file.remarks));
    Ok(made)
}

struct Places<'a> {
    files: Vec<Model>,
    /// Which file each model part is.
    parts: &'a HashMap<String, usize>,
    /// For each object the triangles and the places that it takes with all its components.
    totals: Vec<Vec<(u64, u64)>>,
    /// How often each object is still to be placed.
    left: Vec<Vec<u64>>,
    /// Meshes of objects whose vertices were merged, with their collapsed triangles.
    merged: HashMap<(usize, usize), (Mesh, usize)>,
    mixed: u64,
}

impl<'a> Places<'a> {
    fn new(files: Vec<Model>, parts: &'a HashMap<String, usize>) -> Places<'a> {
        let totals = files.iter().map(|file| Vec::with_capacity(file.objects.len())).collect();
        Places { files, parts, totals, left: Vec::new(), merged: HashMap::new(), mixed: 0 }
    }

    fn find(&self, file: usize, placed: &Placed) -> Result<(usize, usize), ReadProblem> {
        let named = placed.path.as_ref().map(|path| self.parts.get(&super::package::resolved("/", path)).copied());
        let file = named.unwrap_or(Some(file));
        let object = file.and_then(|file| Some((file, *self.files[file].numbers.get(&placed.object)?)));
        object.ok_or_else(|| ReadProblem::Element {
            element: "object",
            number: u64::from(placed.object),
            what: format!(
                "is named and not defined{}; export the model again",
                placed.path.as_ref().map(|path| format!(" in {path}")).unwrap_or_default()
            ),
        })
    }

    /// Adds up what placing everything takes, before anything is placed. Objects come after those that they are made
    /// of, and parts that others name before the root, so one walk does. Gives the triangles.
    fn count(&mut self) -> Result<u64, ReadProblem> {
        let mut stored = 0_u64;
        for file in (0..self.files.len()).rev() {
            for object in 0..self.files[file].objects.len() {
                let total = match &self.files[file].objects[object].content {
                    Content::Mesh { triangles, .. } => {
                        stored += triangles.len() as u64;
                        (triangles.len() as u64, 1)
                    }
                    Content::Components(components) => self.sum(file, components)?,
                };
                self.totals[file].push(total);
            }
        }
        let (triangles, places) = self.sum(0, &self.files[0].items)?;
        let allowed = ALWAYS_ALLOWED.max(stored.saturating_mul(MOST_COPIES)).min(EdgeTable::MAX_FACES as u64);
        if triangles > allowed {
            return Err(ReadProblem::TooLarge { limit: allowed, of: "placed triangles" });
        }
        if places > MOST_PLACES {
            return Err(ReadProblem::TooLarge { limit: MOST_PLACES, of: "placed objects" });
        }
        self.count_uses()?;
        Ok(triangles)
    }

    /// How often each object is placed: as often as all together that it is part of.
    fn count_uses(&mut self) -> Result<(), ReadProblem> {
        let mut uses: Vec<Vec<u64>> = self.files.iter().map(|file| vec![0; file.objects.len()]).collect();
        for item in &self.files[0].items {
            let (file, object) = self.find(0, item)?;
            uses[file][object] += 1;
        }
        for (number, file) in self.files.iter().enumerate() {
            for (outer, object) in file.objects.iter().enumerate().rev() {
                let Content::Components(components) = &object.content else { continue };
                for component in components {
                    let inner = self.find(number, component)?;
                    uses[inner.0][inner.1] = uses[inner.0][inner.1].saturating_add(uses[number][outer]);
                }
            }
        }
        self.left = uses;
        Ok(())
    }

    fn sum(&self, file: usize, placed: &[Placed]) -> Result<(u64, u64), ReadProblem> {
        placed.iter().try_fold((0_u64, 1_u64), |sum, placed| {
            let (file, object) = self.find(file, placed)?;
            let total = self.totals[file].get(object).copied().unwrap_or((0, 0));
            Ok((sum.0.saturating_add(total.0), sum.1.saturating_add(total.1)))
        })
    }

    /// The mesh of an object at a place, with the triangles it has in the file and those left out.
    fn part(
        &mut self,
        at: (usize, usize),
        placed: &Placed,
        is_mirrored: bool,
        progress: &Progress,
    ) -> Result<(Part, usize, usize), ReadProblem> {
        let object = &mut self.files[at.0].objects[at.1];
        let (mesh, collapsed) = match self.merged.remove(&at) {
            Some(merged) => merged,
            None => merge(object, progress)?,
        };
        let left = &mut self.left[at.0][at.1];
        *left = left.saturating_sub(1);
        if *left > 0 {
            self.merged.insert(at, (mesh.clone(), collapsed));
        }
        let mut part = Part { name: object.name.clone(), mesh, colour: object.tint.one() };
        if part.name.is_empty() {
            part.name.clone_from(&placed.name);
        }
        self.mixed += u64::from(object.tint == Tint::Mixed);
        let facets = part.mesh.triangles.len() + collapsed;
        if placed.transform != Transform::IDENTITY {
            for p in &mut part.mesh.vertices {
                *p = placed.transform.apply(p);
            }
            if part.mesh.vertices.iter().any(|p| !p.coords.amax().is_finite()) {
                return Err(ReadProblem::Element {
                    element: "object",
                    number: u64::from(object.id),
                    what: "is placed farther away than numbers reach; export the model again".to_owned(),
                });
            }
        }
        if is_mirrored {
            part.mesh.triangles.iter_mut().for_each(|t| t.swap(1, 2));
        }
        Ok((part, facets, collapsed))
    }
}

fn merge(object: &mut Object, progress: &Progress) -> Result<(Mesh, usize), ReadProblem> {
    let content = std::mem::replace(&mut object.content, Content::Mesh { vertices: Vec::new(), triangles: Vec::new() });
    let Content::Mesh { vertices, mut triangles } = content else { return Ok((Mesh::default(), 0)) };
    let before = triangles.len();
    let unified = unify(vec![vertices], |_| progress.check().map_err(ReadProblem::from))?;
    for i in triangles.as_flattened_mut() {
        *i = unified.vertex(*i as usize);
    }
    triangles.retain(|&[a, b, c]| a != b && b != c && c != a);
    let collapsed = before - triangles.len();
    let mut mesh = Mesh { vertices: unified.vertices, triangles };
    drop_unused_vertices(&mut mesh);
    Ok((mesh, collapsed))
}
