//! From the faces of an indexed file to meshes: what the readers of OBJ and PLY share.

use super::model::Part;
use super::polygon::{self, triangulate};
use super::{ReadProblem, Remark};
use crate::merge::{Numbering, drop_unused_vertices, unify};
use crate::{Cancelled, EdgeTable, Mesh, Point, Progress, TooManyVertices};
use rayon::prelude::*;
use std::time::Instant;

/// Faces of a file, one run of them after another.
#[derive(Debug, Default)]
pub(super) struct Faces {
    /// Vertices of the file, in runs.
    pub(super) vertices: Vec<VertexRun>,
    /// A colour for each vertex, or empty.
    pub(super) colours: Vec<[u8; 4]>,
    /// Faces, in runs.
    pub(super) runs: Vec<FaceRun>,
    /// Names of the parts; a face without any belongs to the first.
    pub(super) names: Vec<String>,
}

/// Some vertices that follow one another.
#[derive(Debug, Default)]
pub(super) struct VertexRun {
    /// Their places.
    places: Vec<[f64; 3]>,
    /// Which of the places each has; empty if each has its own.
    place_of: Vec<u32>,
}

/// So many vertices show whether a run repeats its places, as files do in which every face has corners of its own.
const LOOKED_AT: usize = 1 << 10;

impl VertexRun {
    /// Keeps each place once where many are repeated: the whole file as it stands would take three times the room of the
    /// mesh that comes of it.
    pub(super) fn of(vertices: Vec<[f64; 3]>) -> Result<VertexRun, TooManyVertices> {
        let mut numbering = Numbering::with_room_for(LOOKED_AT.min(vertices.len()));
        let (first, rest) = vertices.split_at(LOOKED_AT.min(vertices.len()));
        let mut place_of = first.iter().map(|&place| numbering.number(place)).collect::<Result<Vec<_>, _>>()?;
        if 2 * numbering.places.len() > first.len() {
            return Ok(VertexRun { places: vertices, place_of: Vec::new() });
        }
        place_of.reserve_exact(rest.len());
        for &place in rest {
            place_of.push(numbering.number(place)?);
        }
        let mut places = numbering.places;
        places.shrink_to_fit();
        Ok(VertexRun { places, place_of })
    }

    pub(super) fn len(&self) -> usize {
        if self.place_of.is_empty() { self.places.len() } else { self.place_of.len() }
    }
}

/// Of several runs the places, and which of them, counted through all, each vertex has; nothing where each has its own.
fn places_of(runs: Vec<VertexRun>) -> (Vec<Vec<[f64; 3]>>, Option<Vec<u32>>) {
    let is_plain = runs.iter().all(|run| run.place_of.is_empty());
    let mut place_of = Vec::with_capacity(if is_plain { 0 } else { runs.iter().map(VertexRun::len).sum() });
    let (mut places, mut before) = (Vec::with_capacity(runs.len()), 0_u32);
    for run in runs {
        let count = run.places.len() as u32;
        if run.place_of.is_empty() && !is_plain {
            place_of.extend(before..before + count);
        }
        place_of.extend(run.place_of.into_iter().map(|place| before + place));
        places.push(run.places);
        before += count;
    }
    (places, (!is_plain).then_some(place_of))
}

/// Some faces that follow one another.
#[derive(Debug, Default)]
pub(super) struct FaceRun {
    /// Vertices of all faces, counted from 0 through the file.
    pub(super) corners: Vec<u32>,
    /// Where the corners of each face end; empty if all faces are triangles.
    pub(super) ends: Vec<u32>,
    /// Which part the faces belong to, from this face on. None: the first part.
    pub(super) parts: Vec<(usize, u32)>,
    /// The one colour of each face, or empty.
    pub(super) colours: Vec<[u8; 4]>,
}

impl FaceRun {
    pub(super) fn len(&self) -> usize {
        if self.ends.is_empty() { self.corners.len() / 3 } else { self.ends.len() }
    }

    fn corners_of(&self, face: usize) -> &[u32] {
        if self.ends.is_empty() {
            return &self.corners[3 * face..3 * face + 3];
        }
        let begin = if face == 0 { 0 } else { self.ends[face - 1] };
        &self.corners[begin as usize..self.ends[face] as usize]
    }
}

/// What became of [`Faces`].
#[derive(Debug, Default)]
pub(super) struct Assembled {
    pub(super) parts: Vec<Part>,
    pub(super) facets: usize,
    pub(super) not_finite: usize,
    pub(super) first_not_finite: Option<usize>,
    pub(super) collapsed: usize,
    pub(super) remarks: Vec<Remark>,
    /// Time that merging and putting together took, seconds.
    pub(super) merge_s: f64,
}

/// Merges bit-equal vertices, parts polygons into triangles, and sorts faces by part.
///
/// Each part has its vertices in the order of the file; those that no face names are dropped. A stage of its own for
/// `progress`.
pub(super) fn assemble(faces: Faces, progress: &Progress) -> Result<Assembled, ReadProblem> {
    let begun = Instant::now();
    let Faces { vertices, colours, runs, names } = faces;
    let count: usize = vertices.iter().map(VertexRun::len).sum();
    if u32::try_from(count).is_err() {
        return Err(TooManyVertices.into());
    }
    let (places, place_of) = places_of(vertices);
    let unified = unify(places, merging(progress))?;
    let starts: Vec<usize> = runs.iter().scan(0, |sum, run| Some(std::mem::replace(sum, *sum + run.len()))).collect();
    let sheets: Vec<Sheet> = (runs.into_par_iter().zip(starts))
        .map(|(run, start)| {
            progress.check()?;
            let place = |corner: usize| place_of.as_ref().map_or(corner, |place_of| place_of[corner] as usize);
            let vertex = |corner: u32| -> Option<u32> {
                ((corner as usize) < count).then(|| unified.vertex(place(corner as usize)))
            };
            Sheet::of(&run, start, count, &colours, &unified.vertices, vertex)
        })
        .collect::<Result<_, _>>()?;

    let mut made = Assembled::default();
    let (mut folded, mut short) = (0, 0);
    for sheet in &sheets {
        made.first_not_finite = made.first_not_finite.or(sheet.first_not_finite.map(|first| made.facets + first));
        made.facets += sheet.facets;
        made.not_finite += sheet.not_finite;
        made.collapsed += sheet.collapsed;
        folded += sheet.folded;
        short += sheet.short;
    }
    if made.facets > EdgeTable::MAX_FACES {
        return Err(ReadProblem::TooLarge { limit: EdgeTable::MAX_FACES as u64, of: "facets" });
    }
    let remark = |what: String, count: u64| (count > 0).then_some(Remark { count, what });
    made.remarks.extend(remark(
        format!(
            "polygons cross themselves or have more than {} corners: parted without regard to folds",
            polygon::MOST_CORNERS
        ),
        folded,
    ));
    made.remarks.extend(remark("faces have fewer than three corners: passed over".to_owned(), short));
    let several = part_meshes(unified.vertices, sheets, names.len().max(1), progress)?;
    let mixed = several.iter().filter(|(_, colour)| *colour == Tint::Mixed).count() as u64;
    made.remarks.extend(remark("parts have more than one colour: colours not used".to_owned(), mixed));
    let mut names = names.into_iter();
    made.parts = several
        .into_iter()
        .map(|(mesh, tint)| Part { name: names.next().unwrap_or_default(), mesh, colour: tint.one() })
        .filter(|part| !part.mesh.triangles.is_empty())
        .collect();
    made.merge_s = begun.elapsed().as_secs_f64();
    Ok(made)
}

/// What is done once all numbers of a file are read.
pub(super) const MERGING: &str = "merging equal vertices";

/// Begins that stage, and gives what merging tells how far it has come.
pub(super) fn merging(progress: &Progress) -> impl Fn(f64) -> Result<(), ReadProblem> + Sync {
    progress.stage(MERGING);
    |fraction| {
        progress.check()?;
        progress.report(fraction);
        Ok(())
    }
}

/// The colour of a part, as far as its faces have been seen.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) enum Tint {
    #[default]
    None,
    One([u8; 4]),
    Mixed,
}

impl Tint {
    pub(super) fn and(self, other: Tint) -> Tint {
        match (self, other) {
            (tint, Tint::None) | (Tint::None, tint) => tint,
            (Tint::One(a), Tint::One(b)) if a == b => self,
            _ => Tint::Mixed,
        }
    }

    pub(super) fn one(self) -> Option<[u8; 4]> {
        match self {
            Tint::One(colour) => Some(colour),
            _ => None,
        }
    }
}

/// The triangles of a run of faces.
#[derive(Debug, Default)]
struct Sheet {
    triangles: Vec<[u32; 3]>,
    /// Part and colour of the triangles from this one on.
    parts: Vec<(usize, u32, Tint)>,
    facets: usize,
    not_finite: usize,
    first_not_finite: Option<usize>,
    collapsed: usize,
    folded: u64,
    short: u64,
}

impl Sheet {
    fn of(
        run: &FaceRun,
        start: usize,
        count: usize,
        colours: &[[u8; 4]],
        vertices: &[Point],
        vertex: impl Fn(u32) -> Option<u32>,
    ) -> Result<Sheet, ReadProblem> {
        let mut sheet = Sheet { triangles: Vec::with_capacity(run.len()), ..Sheet::default() };
        let mut parts = run.parts.iter().peekable();
        let (mut polygon, mut places) = (Vec::new(), Vec::new());
        if run.parts.first().is_none_or(|&(face, _)| face > 0) {
            sheet.parts.push((0, 0, Tint::None));
        }
        for face in 0..run.len() {
            while let Some(&(_, part)) = parts.next_if(|(from, _)| *from <= face) {
                sheet.parts.push((sheet.triangles.len(), part, Tint::None));
            }
            let corners = run.corners_of(face);
            polygon.clear();
            for &corner in corners {
                let Some(vertex) = vertex(corner) else {
                    return Err(ReadProblem::Element {
                        element: "face",
                        number: (start + face) as u64 + 1,
                        what: format!("names vertex {} of {count}; export the model again", u64::from(corner) + 1),
                    });
                };
                polygon.push(vertex);
            }
            if polygon.len() < 3 {
                sheet.short += 1;
                continue;
            }
            let facets = polygon.len() - 2;
            if !polygon.iter().all(|&i| vertices[i as usize].iter().all(|x| x.is_finite())) {
                sheet.first_not_finite.get_or_insert(sheet.facets);
                sheet.not_finite += facets;
                sheet.facets += facets;
                continue;
            }
            sheet.facets += facets;
            if let (true, Some((_, _, tint))) = (!colours.is_empty(), sheet.parts.last_mut()) {
                let of_corner = |&corner: &u32| colours.get(corner as usize).map_or(Tint::None, |&c| Tint::One(c));
                *tint = corners.iter().map(of_corner).fold(*tint, Tint::and);
            }
            if let (Some(&colour), Some((_, _, tint))) = (run.colours.get(face), sheet.parts.last_mut()) {
                *tint = tint.and(Tint::One(colour));
            }
            if let [a, b, c] = polygon[..] {
                sheet.push([a, b, c]);
                continue;
            }
            places.clear();
            places.extend(polygon.iter().map(|&i| vertices[i as usize]));
            let clean = triangulate(&places, |triangle| sheet.push(triangle.map(|i| polygon[i])));
            sheet.folded += u64::from(!clean);
        }
        Ok(sheet)
    }

    fn push(&mut self, [a, b, c]: [u32; 3]) {
        if a == b || b == c || c == a {
            self.collapsed += 1;
        } else {
            self.triangles.push([a, b, c]);
        }
    }

    /// Stretches of triangles of one part.
    fn stretches(&self) -> impl Iterator<Item = (u32, Tint, &[[u32; 3]])> {
        self.parts.iter().enumerate().map(|(i, &(from, part, tint))| {
            let to = self.parts.get(i + 1).map_or(self.triangles.len(), |next| next.0);
            (part, tint, &self.triangles[from..to])
        })
    }
}

fn part_meshes(
    vertices: Vec<Point>,
    sheets: Vec<Sheet>,
    parts: usize,
    progress: &Progress,
) -> Result<Vec<(Mesh, Tint)>, Cancelled> {
    if parts == 1 {
        let tint = sheets.iter().flat_map(|sheet| &sheet.parts).fold(Tint::None, |tint, part| tint.and(part.2));
        let mut triangles = Vec::with_capacity(sheets.iter().map(|sheet| sheet.triangles.len()).sum());
        for sheet in sheets {
            triangles.extend(sheet.triangles);
        }
        let mut mesh = Mesh { vertices, triangles };
        drop_unused_vertices(&mut mesh);
        return Ok(vec![(mesh, tint)]);
    }
    let mut made: Vec<(Mesh, Tint)> = vec![Default::default(); parts];
    progress.check()?;
    for (part, tint, triangles) in sheets.iter().flat_map(Sheet::stretches) {
        let (mesh, whole) = &mut made[part as usize];
        *whole = whole.and(tint);
        mesh.triangles.extend(triangles);
    }
    drop(sheets);
    // For each vertex the part that named it last, and its number there.
    let mut seen = vec![(u32::MAX, 0_u32); vertices.len()];
    for (part, (mesh, _)) in (0..).zip(&mut made) {
        progress.check()?;
        let mut named = Vec::new();
        for &i in mesh.triangles.as_flattened() {
            let seen = &mut seen[i as usize];
            if seen.0 != part {
                seen.0 = part;
                named.push(i);
            }
        }
        named.sort_unstable();
        mesh.vertices = named.iter().map(|&i| vertices[i as usize]).collect();
        for (number, &i) in (0..).zip(&named) {
            seen[i as usize].1 = number;
        }
        for i in mesh.triangles.as_flattened_mut() {
            *i = seen[*i as usize].1;
        }
    }
    Ok(made)
}
