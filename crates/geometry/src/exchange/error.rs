//! What can go wrong between a file and a mesh. Every message names the file, the place and a way out.

use crate::{Cancelled, TooManyVertices};
use std::io;
use std::path::PathBuf;

/// Why a file was not read.
#[derive(Debug, thiserror::Error)]
#[error("{}: {problem}", path.display())]
pub struct ReadError {
    /// The file.
    pub path: PathBuf,
    /// What is wrong with it. Part of the message already, and so not given as its source once more.
    pub problem: ReadProblem,
}

/// What is wrong with the bytes of a mesh file.
#[derive(Debug, thiserror::Error)]
pub enum ReadProblem {
    /// No bytes at all.
    #[error("the file is empty; export the model again")]
    Empty,
    /// Neither of the two forms of STL.
    #[error(
        "this is not an STL file: it neither begins with \"solid\" nor has the 84 bytes that a binary one begins with; choose another file or export the model as STL"
    )]
    NotAMesh,
    /// Fewer facets than the file says it has.
    #[error(
        "the file says that it holds {promised} facets and has room for {found}: it was cut short, or is no STL file; copy or export it again"
    )]
    Truncated {
        /// Facets that the header promises.
        promised: u64,
        /// Whole facets that are there.
        found: u64,
    },
    /// A sound file that holds no facet.
    #[error("the file holds no facets; export the model again")]
    NoFacets,
    /// Nothing is left of the model.
    #[error("all {facets} facets have coordinates that are not finite numbers; export the model again")]
    NothingFinite {
        /// Facets in the file.
        facets: usize,
    },
    /// Nothing is left of the model.
    #[error("all {facets} facets have two corners at one place; check the scale of the model and export it again")]
    NothingLeft {
        /// Facets in the file.
        facets: usize,
    },
    /// A line of a text file that can't be understood.
    #[error("line {line}: {what}")]
    Line {
        /// Counted from 1.
        line: u64,
        /// What was found there, and what to do about it.
        what: String,
    },
    /// Fewer things than the file says it has.
    #[error(
        "the file says that it holds {promised} elements \"{of}\", and has no more than {found}: it was cut short; copy or export it again"
    )]
    Promised {
        /// Things that the header promises.
        promised: u64,
        /// Their name in the file.
        of: String,
        /// At most so many are there.
        found: u64,
    },
    /// A part of the file that can't be understood or points nowhere.
    #[error("{element} {number} {what}")]
    Element {
        /// What it is: a vertex, a face, an object.
        element: &'static str,
        /// Counted from 1, or its own number in the file.
        number: u64,
        /// What is wrong with it, and what to do about it.
        what: String,
    },
    /// What is wrong has no place, or its place is told in words.
    #[error("{0}")]
    Told(String),
    /// None of the formats that are read.
    #[error("this is no STL, OBJ, PLY or 3MF file; choose another file or export the model in one of these formats")]
    NoKnownFormat,
    /// More facets or vertices than can be numbered.
    #[error("the file holds more than {limit} {of}; split the model or export it with fewer facets")]
    TooLarge {
        /// How many are possible.
        limit: u64,
        /// Of what.
        of: &'static str,
    },
    /// More vertices than can be numbered.
    #[error(transparent)]
    TooManyVertices(#[from] TooManyVertices),
    /// The system refused.
    #[error("can't be read ({0}); check that the file exists and that you may read it")]
    Io(#[from] io::Error),
    /// The reading was stopped.
    #[error(transparent)]
    Cancelled(#[from] Cancelled),
}

/// Why a file was not written. Whatever was there before is still there.
#[derive(Debug, thiserror::Error)]
pub enum WriteError {
    /// There is such a file already and it was not to be replaced.
    #[error("{}: there is such a file already; choose another name or folder, or say that it may be replaced", path.display())]
    Exists {
        /// The file.
        path: PathBuf,
    },
    /// A coordinate that the format can't hold.
    #[error("{}: vertex {vertex} lies at ({}, {}, {}) mm, which the format can't hold; check the scale of the model", path.display(), at[0], at[1], at[2])]
    OutOfRange {
        /// The file.
        path: PathBuf,
        /// Index of the vertex.
        vertex: usize,
        /// Its coordinates, mm.
        at: [f64; 3],
    },
    /// The mesh has no faces, or none once its coordinates are rounded.
    #[error("{}: there is nothing to write: the mesh has no faces of a size that the format can hold; check the scale of the model", path.display())]
    NoFacets {
        /// The file.
        path: PathBuf,
    },
    /// More vertices or faces than one file can number.
    #[error("{}: there are more vertices or faces than one file can number; write fewer pieces into it", path.display())]
    TooLarge {
        /// The file.
        path: PathBuf,
    },
    /// The system refused.
    #[error("{}: can't be written ({source}); check that the folder exists, that you may write to it, and that there is room", path.display())]
    Io {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
}
