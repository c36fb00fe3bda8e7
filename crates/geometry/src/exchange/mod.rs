//! Bytes of mesh files into meshes and back. The only place of this crate that touches files.
