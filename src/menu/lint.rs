//! What is probably not what the cook means.

use super::read::{RawDish, Reader};
use super::resolve::Resolved;

pub(super) fn session(_: &mut Reader, _: &Resolved) {}

pub(super) fn dish(_: &mut Reader, _: &RawDish) {}
