//! The commands: what each is called, and what it does.

/// What a command is called, and what it does.
pub type Words = (&'static str, &'static str);

pub const MANUAL: Words = ("manual", "The job, the words, every command, and how to stay well");
pub const COMMANDS: Words = ("commands", "Everything that can be done here, by name");
pub const AT_HAND: Words = (
    "what can be done",
    "What can be done with the selected piece, the cut in hand, or else with all; a right click asks the same of what is there",
);
pub const NEW_PROJECT: Words = ("new project", "Begin with an empty job card");
pub const OPEN: Words = ("open", "Open a project, or a model as a new project");
pub const SAVE_AS: Words = ("save as", "Save under another name");
pub const SAVE: Words = ("save", "Save the project; the last good file is kept beside it");
pub const REDO: Words = ("redo", "Make the change again");
pub const UNDO: Words = ("undo", "Take back the last change");
pub const HISTORY: Words = ("history", "All changes since the project was opened; go back to any of them");
pub const START_SHEET: Words = ("start sheet", "What was open lately, the demos, and a first job");
pub const FIRST_JOB: Words = ("show me how", "A first job, step by step, on the demo helm");
pub const OPEN_STOCK: Words = ("choose the model", "Choose the mesh file that this part is made from");
pub const CUT_ON_SURFACE: Words = ("cut on the surface", "Click the model where a cut should go");
pub const CUT_THROUGH_POINTS: Words = (
    "cut through points",
    "Pick three or more points, along a trim line for instance; the cut goes as near to all as a plane can",
);
pub const CUT_BY_NUMBER: Words = ("cut by number", "Add a cut across the middle and type where it goes");
pub const STEP_OFF: Words = (
    "even lengths",
    "Cut a long piece into the fewest lengths that fit: looked at before the cuts are made (stepping off)",
);
pub const BORE_THROUGH_POINTS: Words =
    ("bore through points", "Pick two points; a channel for a rod goes through both");
pub const REMOVE_BORE: Words = ("remove bore", "Take the bore in hand away");
pub const MEASURE_DISTANCE: Words =
    ("size by two points", "Pick two points whose distance you know on the real thing; the model is enlarged to it");
pub const DISTANCE: Words =
    ("measure a distance", "Pick two points: how far apart they are, and how far along each axis");
pub const ANGLE: Words = ("measure an angle", "Pick two faces: the angle between them, as a bevel gauge shows it");
pub const THICKNESS: Words =
    ("measure a thickness", "Pick a place: how thick the material is there, square to the surface");
pub const GIRTH: Words =
    ("measure a girth", "Pick a place: how far it is round the model there, along the surface and taut");
pub const STAND_ON_FACE: Words = ("stand on a face", "Click the face that the model is to stand on");
pub const REMOVE_CUT: Words = ("remove cut", "Take the cut in hand away");
pub const SWITCH_CUT: Words = ("switch cut on or off", "A cut that is off stays on the card and does nothing");
pub const CUT_EARLIER: Words = ("cut earlier", "Make the cut in hand before the one above it");
pub const CUT_LATER: Words = ("cut later", "Make the cut in hand after the one below it");
pub const LAY_DOWN: Words = ("lay down", "Lay down the cut in hand, leave a tool, close a list");
pub const FRAME_ALL: Words = ("look at everything", "Bring the whole model into the picture");
pub const FRAME_SELECTION: Words = ("look at the selection", "Bring what is selected into the picture");
pub const LOOK_FROM_THREE_QUARTER: Words = ("look from a corner", "Three-quarter view");
pub const LOOK_FROM_FRONT: Words = ("look from the front", "Front view");
pub const LOOK_FROM_BACK: Words = ("look from the back", "Back view");
pub const LOOK_FROM_LEFT: Words = ("look from the left", "View from the left");
pub const LOOK_FROM_RIGHT: Words = ("look from the right", "View from the right");
pub const LOOK_FROM_TOP: Words = ("look from above", "View from above");
pub const LOOK_FROM_BOTTOM: Words = ("look from below", "View from below");
pub const COMPARE_BEFORE: Words =
    ("compare with before", "While the key is held, the bench shows the pieces as they were before the last change");
pub const SELECT_ALL: Words = ("select all pieces", "All pieces of the ledger");
pub const HIDE_PIECES: Words = ("hide", "Put the selected pieces out of sight; the ledger still lists them");
pub const ISOLATE_PIECES: Words = ("only these", "Put all pieces but the selected ones out of sight");
pub const SEE_THROUGH: Words = ("see through", "Make the selected pieces see-through, or solid again");
pub const SHOW_ALL: Words = ("show all", "Bring all pieces back into sight, solid");
pub const EXPLODE: Words = ("pull apart", "Pull the pieces apart, or put them together again");
pub const MAGNIFIER: Words = (
    "magnifier",
    "A magnified piece of the picture beside the pointer while points are picked or a cut is dragged: on or off",
);
pub const LINE_STOCK: Words = ("line 1: stock", "Open the line of the stock");
pub const LINE_SIZE: Words = ("line 2: size", "Open the line of the size");
pub const LINE_SHELLS: Words = ("line 3: shells", "Open the line of the shells");
pub const LINE_BORES: Words = ("line 4: bores", "Open the line of the bores");
pub const LINE_CUTS: Words = ("line 5: cuts", "Open the line of the cuts");
pub const LINE_LAYS: Words = ("line 7: lays and bed", "Open the line of the bed");
pub const LINE_KIT: Words = ("line 8: kit", "Open the line of the kit");
pub const WRITE_KIT: Words = ("write the kit", "Write the pieces and the list into a folder");
pub const CANCEL_WORK: Words = ("stop the work", "Stop what is being worked out; what was ready stays");
pub const LARGER_TEXT: Words = ("larger writing", "All writing and all buttons are made larger");
pub const SMALLER_TEXT: Words = ("smaller writing", "All writing and all buttons are made smaller");
pub const USUAL_TEXT: Words = ("writing as large as at first", "Writing and buttons have their usual size again");
pub const OTHER_LIGHT: Words = ("light or dark", "Light paper or dark");
pub const LESS_MOTION: Words = ("less motion", "Nothing glides: the view is where it is going at once; or as before");
pub const FRAME_TIMES: Words = ("frame times", "How long the window takes for a picture, in the corner: on or off");
pub const QUIT: Words = ("close", "Close the window");

// Why a command would do nothing now.
pub const NO_CHANGE: &str = "nothing was changed yet";
pub const NOTHING_UNDONE: &str = "nothing was undone";
pub const NO_MODEL: &str = "choose a model first";
pub const NO_PIECES: &str = "there are no pieces yet";
pub const NO_BORE: &str = "take a bore in hand first";
pub const NO_CUT: &str = "take a cut in hand first";
pub const FIRST_ALREADY: &str = "it is the first";
pub const LAST_ALREADY: &str = "it is the last";
pub const NOTHING_SELECTED: &str = "choose a piece first";
pub const ALL_SHOWN: &str = "everything is in sight";
pub const ONE_PIECE: &str = "there is only one piece";
pub const NOT_READY: &str = "the pieces are still being worked out";
pub const NO_WORK: &str = "nothing is being worked out";

/// Other words by which people look for a command, beside its own.
pub const ALSO: &[(&str, &str)] = &[
    (MANUAL.0, "help handbook guide docs"),
    (AT_HAND.0, "menu right click list here"),
    (OPEN.0, "load import file"),
    (SAVE.0, "store write keep"),
    (UNDO.0, "back revert"),
    (REDO.0, "again forward"),
    (HISTORY.0, "steps past"),
    (START_SHEET.0, "home welcome recent demos"),
    (FIRST_JOB.0, "tutorial learn guide help lesson first job"),
    (OPEN_STOCK.0, "stock mesh load import file"),
    (CUT_ON_SURFACE.0, "slice split saw divide click"),
    (CUT_THROUGH_POINTS.0, "slice split saw divide line"),
    (CUT_BY_NUMBER.0, "glue joint seam slice split saw divide plane offset height"),
    (STEP_OFF.0, "step off equal parts slices divide many"),
    (BORE_THROUGH_POINTS.0, "hole drill rod channel cable wire glue pin dowel joint"),
    (REMOVE_BORE.0, "delete hole"),
    (MEASURE_DISTANCE.0, "scale resize real size"),
    (DISTANCE.0, "length ruler how far"),
    (THICKNESS.0, "wall thick"),
    (GIRTH.0, "circumference round tape"),
    (STAND_ON_FACE.0, "rotate turn orient lay flat base upright"),
    (REMOVE_CUT.0, "delete"),
    (SWITCH_CUT.0, "enable disable"),
    (LAY_DOWN.0, "cancel leave escape deselect none close"),
    (FRAME_ALL.0, "view zoom fit all reset camera home"),
    (FRAME_SELECTION.0, "view zoom fit focus camera"),
    (LOOK_FROM_THREE_QUARTER.0, "camera perspective isometric"),
    (COMPARE_BEFORE.0, "was difference previous"),
    (HIDE_PIECES.0, "invisible off vanish away"),
    (ISOLATE_PIECES.0, "isolate alone hide others solo"),
    (SEE_THROUGH.0, "glass transparent x-ray ghost opacity"),
    (SHOW_ALL.0, "unhide visible back"),
    (EXPLODE.0, "explode exploded separate spread"),
    (MAGNIFIER.0, "zoom loupe lens glass closer"),
    (LINE_LAYS.0, "printer size plate"),
    (WRITE_KIT.0, "export print files stl output folder"),
    (CANCEL_WORK.0, "cancel abort halt"),
    (LARGER_TEXT.0, "bigger text letters font zoom in scale size"),
    (SMALLER_TEXT.0, "text letters font zoom out scale size"),
    (USUAL_TEXT.0, "text letters font zoom reset normal size 100"),
    (OTHER_LIGHT.0, "theme dark mode colours"),
    (QUIT.0, "exit leave end"),
];

/// What a command does, and its keys.
pub fn with_keys(does: &str, keys: &str) -> String {
    format!("{does}  ({keys})")
}
