//! Small solids as bytes of STL files.

/// A closed box as binary STL, from the origin to `size_mm`.
pub fn box_stl(size_mm: [f32; 3]) -> Vec<u8> {
    binary_stl(&box_triangles(size_mm))
}

/// The same box with one triangle left out.
pub fn open_box_stl(size_mm: [f32; 3]) -> Vec<u8> {
    binary_stl(&box_triangles(size_mm)[1..])
}

/// Triangles as binary STL with zero normals, which readers are to work out themselves.
pub fn binary_stl(triangles: &[[[f32; 3]; 3]]) -> Vec<u8> {
    let mut bytes = vec![b' '; 80];
    bytes.extend(u32::try_from(triangles.len()).expect("a small solid").to_le_bytes());
    for triangle in triangles {
        bytes.extend([0; 12]);
        bytes.extend(triangle.iter().flatten().flat_map(|coordinate| coordinate.to_le_bytes()));
        bytes.extend([0; 2]);
    }
    bytes
}

/// The twelve triangles of a box, seen anticlockwise from outside.
pub fn box_triangles(size_mm: [f32; 3]) -> Vec<[[f32; 3]; 3]> {
    // Corners are numbered by bits: 1 for x, 2 for y, 4 for z.
    const FACES: [[usize; 4]; 6] = [[0, 2, 3, 1], [4, 5, 7, 6], [0, 1, 5, 4], [2, 6, 7, 3], [0, 4, 6, 2], [1, 3, 7, 5]];
    let corner = |bits: usize| [0, 1, 2].map(|axis| if bits >> axis & 1 == 1 { size_mm[axis] } else { 0.0 });
    let halves = FACES.into_iter().flat_map(|[a, b, c, d]| [[a, b, c], [a, c, d]]);
    halves.map(|triangle| triangle.map(corner)).collect()
}
