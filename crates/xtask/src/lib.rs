//! Developer commands.
