//! Rims of holes are closed.

use rustc_hash::{FxHashMap, FxHashSet};

use super::flat::{Flat, in_planes, with_islands};
use super::obstacles::{ClearOf, Obstacles};
use super::patch::{Rim, least_area};
use super::refine::Patch;
use super::surface::Surface;
use super::{Mended, NEW_FACE, Work};
use crate::cut::fill_flat;
use crate::predicates::on_one_line;
use crate::{Cancelled, EdgeTable, OpenLoop, Point, Progress, Resolution, open_loops};

/// How holes are filled.
#[derive(Clone, Copy)]
pub(super) struct Filling {
    /// Rims that are not flat and have more edges are left.
    pub most_edges: usize,
    /// Whether to fill rims that are not flat.
    pub curved: bool,
    /// Whether patches may pass through the mesh where no other is found: for what is united afterwards.
    pub anywhere: bool,
}

/// Fills holes. Rims that are not closed are left, and those over which every patch found would pass through their own
/// shell.
pub(super) fn fill(work: Work, filling: Filling, progress: &Progress) -> Result<Mended, Cancelled> {
    fill_those(work, filling, &|_| true, progress)
}

/// Fills those holes whose rims, given by their vertices, are `wanted`.
pub(super) fn fill_those(
    work: Work,
    filling: Filling,
    wanted: &dyn Fn(&[u32]) -> bool,
    progress: &Progress,
) -> Result<Mended, Cancelled> {
    let edges = EdgeTable::new(&work.mesh);
    let loops: Vec<OpenLoop> = open_loops(&work.mesh, &edges).into_iter().filter(|rim| wanted(&rim.vertices)).collect();
    if loops.is_empty() {
        return Ok(work.done());
    }
    let resolution_mm = Resolution::of(&work.mesh).on_plane_mm;
    let (mut flat, mut others): (Vec<Flat>, Vec<OpenLoop>) = (Vec::new(), Vec::new());
    for rim in loops {
        match Flat::of(&work, &rim, resolution_mm).filter(|_| rim.closed) {
            Some(plane) => flat.push(Flat { rim, ..plane }),
            None => others.push(rim),
        }
    }
    flat.sort_by(Flat::order);
    let known = Known::new(&edges, &flat, &others);
    let (surface, obstacles) = (Surface::of(&work.mesh), Obstacles::of(&work.mesh, progress)?);
    let mut filler = Filler { work, known, surface, obstacles, filling, progress };
    for plane in in_planes(&flat, resolution_mm) {
        progress.check()?;
        for group in with_islands(&filler.work, &plane) {
            filler.fill_group(&group, &mut others)?;
        }
    }
    for rim in others {
        progress.check()?;
        if !filling.curved || !rim.closed || rim.vertices.len() > filling.most_edges || !filler.fill_curved(&rim)? {
            filler.work.report.left += 1;
        }
    }
    Ok(filler.work.done())
}

/// A mesh whose holes are being filled.
struct Filler<'a> {
    work: Work,
    known: Known,
    surface: Surface,
    obstacles: Obstacles,
    filling: Filling,
    progress: &'a Progress,
}

impl Filler<'_> {
    /// Fills a rim by a patch that takes up the form around it, or by the one of least area; says whether it did.
    fn fill_curved(&mut self, rim: &OpenLoop) -> Result<bool, Cancelled> {
        let places: Vec<Point> = rim.vertices.iter().map(|&v| self.work.mesh.vertices[v as usize]).collect();
        let shells = self.shells_at(&rim.vertices);
        let Some((patch, passes)) = self.patch(rim, &places, &shells)? else { return Ok(false) };
        let first = self.work.mesh.vertices.len() as u32;
        let within = &patch.places[patch.rim..];
        self.work.mesh.vertices.extend(within);
        self.work.report.vertices_added += within.len();
        let vertex = |i: usize| rim.vertices.get(i).copied().unwrap_or(first + i.saturating_sub(patch.rim) as u32);
        let faces: Vec<[u32; 3]> = patch.faces.iter().map(|face| face.map(vertex)).collect();
        self.work.report.patches_passing += usize::from(passes);
        self.close(&faces, 1, &shells)?;
        Ok(true)
    }

    /// The best patch over a rim, and whether it passes through other shells than those.
    fn patch(&self, rim: &OpenLoop, places: &[Point], shells: &[u32]) -> Result<Option<(Patch, bool)>, Cancelled> {
        let (mesh, progress) = (&self.work.mesh, self.progress);
        let is_free = |i: usize, j: usize| self.known.is_free(rim.vertices[i], rim.vertices[j]);
        let of_faces = |faces: Vec<[usize; 3]>| Patch { rim: places.len(), places: places.to_vec(), faces };
        let plain = |is_clear: &dyn Fn(usize, usize, usize) -> bool| {
            least_area(&Rim { places, is_free: &is_free, is_clear }).map(of_faces)
        };
        // The fair one where it may lie, or else the plain one where that may.
        let better = |plain: Patch, of: ClearOf<'_>| -> Result<Option<Patch>, Cancelled> {
            let fair = self.surface.fair(mesh, &rim.vertices, &plain, &is_free, progress)?;
            for patch in fair.into_iter().chain([plain]) {
                if self.obstacles.let_pass(mesh, &patch, of, progress)? {
                    return Ok(Some(patch));
                }
            }
            Ok(None)
        };
        let Some(least) = plain(&|_, _, _| true) else { return Ok(None) };
        if let Some(patch) = better(of_faces(least.faces.clone()), ClearOf::Everything)? {
            return Ok(Some((patch, false)));
        }
        if self.filling.anywhere {
            return Ok(Some((least, true)));
        }
        for (of, passes) in [(ClearOf::Everything, false), (ClearOf::Shells(shells), true)] {
            // Triangles looked at after a stop are refused, so that it ends soon.
            let is_clear = |i: usize, k: usize, j: usize| {
                progress.check().is_ok() && !self.obstacles.is_met(mesh, &[i, k, j].map(|v| places[v]), of)
            };
            let clear = plain(&is_clear);
            progress.check()?;
            if let Some(clear) = clear
                && let Some(patch) = better(clear, of)?
            {
                return Ok(Some((patch, passes)));
            }
        }
        Ok(None)
    }

    /// Fills rims in one plane by a triangulation of that plane; hands over to the others those that it cannot.
    fn fill_group(&mut self, group: &[&Flat], others: &mut Vec<OpenLoop>) -> Result<(), Cancelled> {
        let rims: Vec<&[u32]> = group.iter().map(|flat| flat.rim.vertices.as_slice()).collect();
        let shells: Vec<u32> = rims.iter().flat_map(|rim| self.shells_at(rim)).collect();
        let is_met = |faces: &[[u32; 3]], of: ClearOf<'_>| {
            let mesh = &self.work.mesh;
            faces.iter().any(|face| self.obstacles.is_met(mesh, &face.map(|v| mesh.vertices[v as usize]), of))
        };
        let faces = group.first().and_then(|flat| self.in_plane(flat.axis, &rims));
        let faces = faces.filter(|faces| self.filling.anywhere || !is_met(faces, ClearOf::Shells(&shells)));
        let passes = faces.as_ref().is_some_and(|faces| is_met(faces, ClearOf::Everything));
        match faces {
            Some(faces) => {
                self.work.report.patches_passing += usize::from(passes);
                self.close(&faces, group.len(), &shells)?;
            }
            None if group.len() > 1 => {
                for flat in group {
                    self.fill_group(std::slice::from_ref(flat), others)?;
                }
            }
            None => others.extend(group.iter().map(|flat| flat.rim.clone())),
        }
        Ok(())
    }

    /// The triangulation of what rims in one plane go round, as seen along an axis.
    fn in_plane(&self, axis: usize, rims: &[&[u32]]) -> Option<Vec<[u32; 3]>> {
        let at = |v: u32| self.work.mesh.vertices[v as usize];
        let mut places: Vec<[f64; 2]> = Vec::new();
        let mut vertices: Vec<u32> = Vec::new();
        let mut number: FxHashMap<u32, u32> = FxHashMap::default();
        let mut bounds: Vec<[u32; 2]> = Vec::new();
        for rim in rims {
            for (&from, &to) in rim.iter().zip(rim.iter().cycle().skip(1)) {
                bounds.push([from, to].map(|v| {
                    *number.entry(v).or_insert_with(|| {
                        places.push([at(v)[(axis + 1) % 3], at(v)[(axis + 2) % 3]]);
                        vertices.push(v);
                        vertices.len() as u32 - 1
                    })
                }));
            }
        }
        let filled = fill_flat(&places, &bounds)?.into_iter();
        let faces: Vec<[u32; 3]> = filled.map(|t| t.map(|i| vertices[i as usize])).collect();
        let is_sound = |face: &[u32; 3]| !on_one_line(face.map(at).each_ref());
        (faces.iter().all(is_sound) && self.known.have_room_for(&faces, &bounds, &vertices)).then_some(faces)
    }

    /// The shells of the faces at these vertices, each once.
    fn shells_at(&self, vertices: &[u32]) -> Vec<u32> {
        let faces = vertices.iter().flat_map(|v| self.surface.faces_at(*v));
        let mut shells: Vec<u32> = faces.map(|face| self.obstacles.shell_of(*face)).collect();
        shells.sort_unstable();
        shells.dedup();
        shells
    }

    /// Adds faces that close so many rims of these shells.
    fn close(&mut self, faces: &[[u32; 3]], rims: usize, shells: &[u32]) -> Result<(), Cancelled> {
        let work = &mut self.work;
        let first = work.mesh.triangles.len();
        work.report.holes_filled += rims;
        for &face in faces {
            self.known.add(face);
            work.push(face, NEW_FACE);
            work.report.faces_added += 1;
            let [a, b, c] = face.map(|v| work.mesh.vertices[v as usize]);
            work.report.filled_mm2 += (b - a).cross(&(c - a)).norm() / 2.0;
        }
        self.obstacles.add(&work.mesh, first, shells.first().copied().unwrap_or(u32::MAX), self.progress)
    }
}

/// Edges between vertices of rims that are there: a new one must not lie on them.
struct Known {
    edges: FxHashSet<[u32; 2]>,
}

impl Known {
    fn new(edges: &EdgeTable, flat: &[Flat], others: &[OpenLoop]) -> Known {
        let rims = flat.iter().map(|flat| &flat.rim).chain(others);
        let on_rim: FxHashSet<u32> = rims.flat_map(|rim| rim.vertices.iter().copied()).collect();
        let between = edges.edges().filter(|edge| on_rim.contains(&edge.low) && on_rim.contains(&edge.high));
        Known { edges: between.map(|edge| [edge.low, edge.high]).collect() }
    }

    fn is_free(&self, a: u32, b: u32) -> bool {
        !self.edges.contains(&[a.min(b), a.max(b)])
    }

    fn add(&mut self, [a, b, c]: [u32; 3]) {
        for (from, to) in [(a, b), (b, c), (c, a)] {
            self.edges.insert([from.min(to), from.max(to)]);
        }
    }

    /// Whether the inner edges of these faces are free. Edges of the rims are there already.
    fn have_room_for(&self, faces: &[[u32; 3]], bounds: &[[u32; 2]], vertices: &[u32]) -> bool {
        let rim: FxHashSet<[u32; 2]> = bounds.iter().map(|pair| pair.map(|i| vertices[i as usize])).collect();
        faces
            .iter()
            .flat_map(|&[a, b, c]| [(a, b), (b, c), (c, a)])
            .all(|(from, to)| rim.contains(&[from, to]) || rim.contains(&[to, from]) || self.is_free(from, to))
    }
}
