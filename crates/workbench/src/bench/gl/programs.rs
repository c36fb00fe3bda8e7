//! The shader programs, compiled once.

use three_d::{CoreError, Interpolation, Program, Texture2D, VertexBuffer, Wrapping};

/// All programs, and the corners they draw with.
pub struct Programs {
    pub piece: Program,
    pub paper: Program,
    pub ink: Program,
    /// Also outlines what is raised.
    pub ink_raised: Program,
    pub copy: Program,
    pub board: Program,
    pub line: Program,
    /// The shadow where there is none.
    pub no_shade: Texture2D,
    /// One triangle over the whole picture.
    pub whole: VertexBuffer<[f32; 2]>,
    /// Two triangles over 0..1.
    pub square: VertexBuffer<[f32; 2]>,
    /// Two triangles along a segment.
    pub strip: VertexBuffer<[f32; 2]>,
}

impl Programs {
    pub fn new(gl: &three_d::Context) -> Result<Programs, CoreError> {
        let whole = include_str!("shaders/whole.vert");
        let ink = include_str!("shaders/ink.frag");
        let ground = include_str!("shaders/ground.glsl");
        let with_ground = |fragments: &str| format!("{ground}\n{fragments}");
        let piece = with_ground(include_str!("shaders/piece.frag"));
        let board = with_ground(include_str!("shaders/board.frag"));
        Ok(Programs {
            piece: Program::from_source(gl, include_str!("shaders/piece.vert"), &piece)?,
            paper: Program::from_source(gl, whole, include_str!("shaders/paper.frag"))?,
            ink: Program::from_source(gl, whole, ink)?,
            ink_raised: Program::from_source(gl, whole, &format!("#define RAISED\n{ink}"))?,
            copy: Program::from_source(gl, whole, include_str!("shaders/copy.frag"))?,
            board: Program::from_source(gl, include_str!("shaders/board.vert"), &board)?,
            line: Program::from_source(gl, include_str!("shaders/line.vert"), include_str!("shaders/line.frag"))?,
            no_shade: no_shade(gl),
            whole: VertexBuffer::new_with_data(gl, &[[-1.0, -1.0], [3.0, -1.0], [-1.0, 3.0]]),
            square: VertexBuffer::new_with_data(gl, &two_triangles([0.0, 0.0], [1.0, 1.0])),
            strip: VertexBuffer::new_with_data(gl, &two_triangles([0.0, -1.0], [1.0, 1.0])),
        })
    }
}

fn no_shade(gl: &three_d::Context) -> Texture2D {
    let (filter, edge) = (Interpolation::Nearest, Wrapping::ClampToEdge);
    let texture = Texture2D::new_empty::<[u8; 4]>(gl, 1, 1, filter, filter, None, edge, edge);
    texture.fill(&[[0_u8; 4]]);
    texture
}

fn two_triangles([x0, y0]: [f32; 2], [x1, y1]: [f32; 2]) -> [[f32; 2]; 6] {
    [[x0, y0], [x1, y0], [x1, y1], [x0, y0], [x1, y1], [x0, y1]]
}
