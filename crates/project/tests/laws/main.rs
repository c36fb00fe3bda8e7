//! Laws of the project model: recipes and their history, files, evaluation, placing, kits.

mod bodies_and_shells;
mod body_numbers;
mod cache;
mod document;
mod edits;
mod failures;
mod forms;
mod history;
mod kit;
mod links_and_permissions;
mod moving;
mod order;
mod parts;
mod paths;
mod pieces;
mod placing;
mod real_meshes;
mod recipes;
mod saved;
mod saved_damage;
mod scope;
mod seams;
mod size;
mod store;
mod titles;
mod workshop;
