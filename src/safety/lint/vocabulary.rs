//! The words by which steps are understood. A word with `*` stands for all that begin like it.

/// Flesh that is raw until it is cooked.
#[rustfmt::skip]
pub(super) const RAW_FLESH: &[&str] = &[
    "poultry", "game", "ground meat", "meat", "ham", "offal", "fish", "crustacean", "mollusc",
];

/// What spoils fast even when cooked: flesh, and what grows on rice, milk, eggs and pulses.
#[rustfmt::skip]
pub(super) const PERISHABLE: &[&str] = &[
    "cooked poultry", "cooked ham", "cooked meat", "cooked shellfish", "pate", "bacon", "rice", "dairy", "egg", "hard-boiled egg",
    "aioli", "pulse", "kidney bean", "pasta",
];

/// Dishes that are dry, sweet or sour enough to stand, whatever egg or milk went into them.
#[rustfmt::skip]
pub(super) const STABLE: &[&str] = &[
    "bread", "loaf", "dough", "cake", "biscuit", "cookie", "meringue", "pavlova", "shortbread",
    "cracker", "gougere", "jam", "chutney", "pickle", "caramel", "toffee", "praline", "granola",
    "brownie", "muffin", "scone", "crumble topping", "gingerbread", "candied", "syrup",
    "vinaigrette", "dressing", "brioche", "focaccia", "flatbread", "bread roll", "madeleine",
    "sponge", "brittle", "nougat", "macaron", "crouton", "crumb", "crispbread", "panettone",
    "breadstick", "fudge", "chocolate truffle", "florentine", "blind bake*", "bake blind",
    "empty case", "tart shell", "pastry case", "pastry shell", "profiterole shell", "choux",
];

/// Words of a moist filling: whatever holds it does not stand.
#[rustfmt::skip]
pub(super) const MOIST: &[&str] = &[
    "custard", "creme", "cream", "mousse", "quiche", "trifle", "tiramisu", "cheesecake",
    "panna cotta", "fill", "filled", "filling", "pudding", "yoghurt", "yogurt", "mascarpone",
    "curd", "mayonnaise", "egg dressing",
];

/// It is or gets cold.
#[rustfmt::skip]
pub(super) const COLD: &[&str] = &[
    "chill*", "refrigerate", "refrigerated", "refrigerating", "freeze", "freezing", "ice bath", "on ice", "over ice",
    "in ice", "ice water", "iced water", "cold room", "cool box", "coolbox", "cold store", "larder",
];

/// It is cold, unless it is taken out of there.
pub(super) const FRIDGE: &[&str] = &["fridge", "refrigerator", "freezer"];

/// It leaves the cold.
#[rustfmt::skip]
pub(super) const OUT_OF_THE_COLD: &[&str] = &[
    "out of the fridge", "out of the refrigerator", "out of the freezer", "outside the fridge",
    "from the fridge", "from the refrigerator", "from the freezer",
];

/// Verbs that heat, told as commands.
#[rustfmt::skip]
pub(super) const HEATING: &[&str] = &[
    "boil", "simmer", "fry", "roast", "bake", "grill", "braise", "poach", "steam", "sear", "saute",
    "stew", "toast", "brown", "sweat", "microwave", "reheat", "barbecue", "griddle", "scald",
    "smoke", "cook", "deep fry", "stir fry", "pan fry", "slow cook", "slow roast", "pressure cook",
    "warm through", "heat", "bring to the boil", "bring to a boil", "bring to a simmer",
    "bring slowly to", "blanch", "flambe", "reduce", "confit", "sous vide", "cook sous vide",
];

/// Appliances in which food is heated.
#[rustfmt::skip]
pub(super) const COOKERS: &[&str] = &[
    "slow cooker", "crock pot", "pressure cooker", "rice cooker", "deep fryer", "microwave", "grill",
    "barbecue", "steamer", "air fryer", "sous vide", "immersion circulator", "circulator",
];

/// It stands neither hot nor cold.
#[rustfmt::skip]
pub(super) const LUKEWARM: &[&str] = &[
    "room temperature", "lukewarm", "counter", "worktop", "work surface", "countertop",
    "kitchen table", "garden table", "picnic", "sideboard", "dining table", "kitchen bench", "on the bench", "terrace",
    "patio", "in the garden", "room temp", "without refrigerat*", "on the side until", "unrefrigerated", "out of the fridge", "outside the fridge",
    "out of the refrigerator", "leave out", "left out", "stand out", "sit out", "ambient",
    "in the sun", "buffet", "windowsill", "overnight on the stove", "on the stove overnight",
    "on the hob overnight", "on the side overnight", "in a warm place", "in the warm kitchen",
    "hand warm", "tepid",
];

/// It is kept hot.
#[rustfmt::skip]
pub(super) const HELD_HOT: &[&str] = &[
    "keep hot", "kept hot", "hold hot", "keep warm", "kept warm", "keep it warm", "keep it hot",
    "keep them hot", "keep them warm", "hold warm", "hold at", "hold in", "warming drawer",
    "bain marie", "hot holding", "thermos", "warming oven", "keep at", "hold it at", "hold them at",
    "hold on warm", "hold on low", "warm setting", "warming setting", "chafing dish", "heat lamp", "warming tray",
    "food warmer",
];

/// In a bath whose temperature the food takes on, and cannot pass.
pub(super) const SOUS_VIDE: &[&str] = &[
    "sous vide",
    "water bath",
    "immersion circulator",
    "circulator",
];

/// Yeasts and cultures at work: warm on purpose.
#[rustfmt::skip]
pub(super) const LIVE_CULTURE: &[&str] = &[
    "ferment*", "culture", "incubat*", "prove", "proof", "proving", "rise", "rising", "starter",
    "levain", "leaven*", "yeast", "dough",
];

/// Bakes that are moist all the way.
#[rustfmt::skip]
pub(super) const MOIST_BAKES: &[&str] = &[
    "gratin", "lasagne", "lasagna", "frittata", "omelette", "flan", "dauphinoise", "souffle", "moussaka", "strata",
    "clafoutis", "pie",
];
