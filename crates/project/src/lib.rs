//! Project.
