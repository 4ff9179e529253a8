//! A drawing as SVG.

use crate::chart::Scene;

/// The scene as SVG text, black on white.
pub fn scene_svg(scene: &Scene) -> String {
    todo!()
}
