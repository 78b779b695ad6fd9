//! One file a pane. Each draws into the area it is given and asks for nothing else.

pub mod after;
pub mod before;
pub mod courses;
pub mod focus;
pub mod foot;
pub mod glance;
pub mod head;
pub mod help;
pub mod next;
pub mod oven;
pub mod prompt;
pub mod running;
pub mod timeline;
