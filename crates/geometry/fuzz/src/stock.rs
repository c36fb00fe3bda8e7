//! Facets made from the fuzzer's bytes: any at all, and closed ones.

use arbitrary::Arbitrary;
use seamwright_geometry::{Facet, Mesh, Point, solids};

/// What there is to be cut.
#[derive(Arbitrary, Debug)]
pub enum Stock {
    /// Any facets.
    Soup(Vec<[Place; 3]>),
    /// Tetrahedra, each closed, turned either way, flat or crossing others as it comes.
    Tetrahedra(Vec<[Place; 4]>),
    /// Boxes on a lattice, sharing faces, edges and corners.
    Boxes(Vec<[(i8, u8); 3]>),
    /// A closed solid with some vertices moved.
    Warped { base: u8, moved: Vec<(u8, Place)> },
}

/// Three coordinates.
pub type Place = [Coordinate; 3];

/// A coordinate: few lattice numbers, so that many are equal, or any.
#[derive(Arbitrary, Clone, Copy, Debug)]
pub enum Coordinate {
    Lattice(i8),
    /// A lattice number and so many steps of single precision beside it.
    Near(i8, i8),
    Tenths(i16),
    Any(f32),
}

/// As many parts as make all kinds of meetings, and not so many that runs take long.
const FACETS: usize = 48;
const TETRAHEDRA: usize = 10;
const BOXES: usize = 8;
const MOVED: usize = 24;

impl Coordinate {
    pub fn number(self) -> f32 {
        let lattice = |x: i8| f32::from(x % 5);
        match self {
            Coordinate::Lattice(x) => lattice(x),
            Coordinate::Near(x, steps) => {
                let x = lattice(x);
                f32::from_bits(x.to_bits().wrapping_add_signed(i32::from(steps)))
            }
            Coordinate::Tenths(x) => f32::from(x) / 10.0,
            Coordinate::Any(x) => x,
        }
    }
}

impl Stock {
    pub fn facets(&self) -> Vec<Facet> {
        match self {
            Stock::Soup(facets) => facets.iter().take(FACETS).map(|facet| facet.map(place)).collect(),
            Stock::Tetrahedra(all) => all.iter().take(TETRAHEDRA).flat_map(|t| tetrahedron(t.map(place))).collect(),
            Stock::Boxes(boxes) => boxes.iter().take(BOXES).flat_map(|b| facets_of(&cuboid(b))).collect(),
            Stock::Warped { base, moved } => {
                let mut mesh = base_solid(*base);
                let count = mesh.vertices.len();
                for (vertex, to) in moved.iter().take(MOVED) {
                    mesh.vertices[usize::from(*vertex) % count] = Point::from(place(*to).map(f64::from));
                }
                facets_of(&mesh)
            }
        }
    }
}

fn place(place: Place) -> [f32; 3] {
    place.map(Coordinate::number)
}

fn tetrahedron([a, b, c, d]: [[f32; 3]; 4]) -> [Facet; 4] {
    [[a, c, b], [a, b, d], [b, c, d], [c, a, d]]
}

fn cuboid(sides: &[(i8, u8); 3]) -> Mesh {
    let low = sides.map(|(low, _)| f64::from(low % 5));
    let extent = sides.map(|(_, extent)| f64::from(extent % 4 + 1));
    solids::cuboid(Point::from(low), Point::from([0, 1, 2].map(|k| low[k] + extent[k])))
}

fn base_solid(choice: u8) -> Mesh {
    match choice % 5 {
        0 => solids::sphere(Point::origin(), 3.0, 1),
        1 => solids::sphere(Point::origin(), 3.0, 2),
        2 => solids::torus(Point::origin(), 3.0, 1.0, 5, 4),
        3 => solids::grid_box(Point::origin(), Point::new(3.0, 2.0, 2.0), [3, 2, 2]),
        _ => solids::hollow(
            &solids::grid_box(Point::origin(), Point::new(4.0, 4.0, 4.0), [2, 2, 2]),
            &solids::cuboid(Point::new(1.0, 1.0, 1.0), Point::new(3.0, 3.0, 3.0)),
        ),
    }
}

fn facets_of(mesh: &Mesh) -> Vec<Facet> {
    // The sine of a half turn is 10⁻¹⁶ and should be 0.
    let single = |p: Point| [p.x, p.y, p.z].map(|x| if x.abs() < 1e-9 { 0.0 } else { x as f32 });
    (0..mesh.triangles.len()).map(|face| mesh.corners(face).map(single)).collect()
}
