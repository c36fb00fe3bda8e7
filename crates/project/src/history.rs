//! Undo and redo: a list of recipes, which are small.

use crate::edit::{Edit, EditError};
use crate::recipe::Recipe;

/// The recipes of a project, oldest first, with the one that is current.
#[derive(Clone, Debug)]
pub struct History {
    steps: Vec<Step>,
    current: usize,
}

/// One recipe and the change that led to it.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// The change in the maker's words; for the first step, how the project began.
    pub title: String,
    /// The recipe after the change.
    pub recipe: Recipe,
}

impl History {
    /// Begins with `recipe`; `title` says where it came from ("open the project").
    pub fn new(title: impl Into<String>, recipe: Recipe) -> History {
        History { steps: vec![Step { title: title.into(), recipe }], current: 0 }
    }

    /// The current recipe.
    pub fn recipe(&self) -> &Recipe {
        &self.steps[self.current].recipe
    }

    /// Makes a change. Steps that were undone are forgotten, unless the change only measures something: then they stay, with
    /// the measurement in them too. An edit that changes nothing adds no step.
    pub fn apply(&mut self, edit: &Edit) -> Result<(), EditError> {
        let before = self.recipe();
        let (title, recipe) = (edit.title(before), edit.apply(before)?);
        if recipe != *before {
            let undone = if edit.only_measures() { self.undone_with(edit) } else { Vec::new() };
            self.steps.truncate(self.current + 1);
            self.steps.push(Step { title, recipe });
            self.steps.extend(undone);
            self.current += 1;
        }
        Ok(())
    }

    /// The steps that were undone, changed by an edit; those from the first on in which it is not possible are left out.
    fn undone_with(&self, edit: &Edit) -> Vec<Step> {
        let changed = |step: &Step| Some(Step { title: step.title.clone(), recipe: edit.apply(&step.recipe).ok()? });
        self.steps[self.current + 1..].iter().map_while(changed).collect()
    }

    /// Adds a step that no edit makes, such as recovered work. Steps that were undone are forgotten.
    pub(crate) fn push(&mut self, title: impl Into<String>, recipe: Recipe) {
        self.steps.truncate(self.current + 1);
        self.steps.push(Step { title: title.into(), recipe });
        self.current += 1;
    }

    /// Rewrites all recipes without a step: for what is no decision of the maker's, such as the path of the source as
    /// seen from another folder.
    pub(crate) fn rewrite(&mut self, change: impl Fn(&mut Recipe)) {
        self.steps.iter_mut().for_each(|step| change(&mut step.recipe));
    }

    /// Goes back one step; `false` at the beginning.
    pub fn undo(&mut self) -> bool {
        let can = self.current > 0;
        self.current -= usize::from(can);
        can
    }

    /// Goes forward one step; `false` at the end.
    pub fn redo(&mut self) -> bool {
        let can = self.current + 1 < self.steps.len();
        self.current += usize::from(can);
        can
    }

    /// What [`undo`](Self::undo) would take back.
    pub fn undo_title(&self) -> Option<&str> {
        (self.current > 0).then(|| self.steps[self.current].title.as_str())
    }

    /// What [`redo`](Self::redo) would make again.
    pub fn redo_title(&self) -> Option<&str> {
        self.steps.get(self.current + 1).map(|step| step.title.as_str())
    }

    /// All steps, oldest first.
    pub fn steps(&self) -> &[Step] {
        &self.steps
    }

    /// Index of the current step.
    pub fn current(&self) -> usize {
        self.current
    }

    /// Makes step `index` current; does nothing past the end.
    pub fn go_to(&mut self, index: usize) {
        if index < self.steps.len() {
            self.current = index;
        }
    }
}
