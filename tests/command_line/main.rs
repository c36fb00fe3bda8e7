//! The command line as a maker and a script see it: the program is run, its answers and files are read back.

mod bad_input;
mod bore;
mod cut;
mod fit;
mod help;
mod inspect;
mod measure;
mod mend;
mod project;
mod real_meshes;
mod size;
mod workshop;
