//! Workbench.
