//! A drawing as a picture of dots: PNG, black on white, as on paper.

use png::{BitDepth, ColorType, DeflateCompression, Encoder, Filter};
use tiny_skia::{
    FillRule, LineCap, LineJoin, Paint, Path, PathBuilder, Pixmap, Stroke as SkiaStroke, StrokeDash,
    Transform,
};

use super::paper::paper_grey;
use super::pdf::PdfError;
use super::pdf::typeface::{OutlinePen, Typeface};
use crate::chart::{Anchor, Ink, Item, Point, Scene, Stroke};

/// Dots to a point of the drawing: its smallest text stays legible when the picture is shown as wide as a screen.
const DOTS_TO_A_POINT: f32 = 2.0;

/// How hard the picture is packed, of 9.
const DEFLATE_LEVEL: u8 = 3;

/// The scene as a PNG of eight bits of grey, two dots to a point, with its text from the embedded typeface, so that no font of
/// the machine matters. Its words in `alt` stand in the file as its description.
///
/// Source: W3C, Portable Network Graphics (PNG) Specification, third edition, 11.3.3 (texts).
///
/// # Errors
/// When the typeface can't be read, or the scene has no extent or is too large for a picture.
pub fn scene_png(scene: &Scene, font: &[u8]) -> Result<Vec<u8>, PdfError> {
    scene_png_in(&Typeface::new(font)?, scene)
}

/// The same in a typeface that was read before.
pub(super) fn scene_png_in(typeface: &Typeface<'_>, scene: &Scene) -> Result<Vec<u8>, PdfError> {
    let dots = |points: f32| (DOTS_TO_A_POINT * points).round() as u32;
    let (width, height) = (dots(scene.width), dots(scene.height));
    let mut picture = Pixmap::new(width, height)
        .ok_or_else(|| PdfError(format!("{width} by {height} dots are no picture")))?;
    picture.fill(colour(Ink::Ground));
    let mut canvas = Canvas { picture: &mut picture, typeface };
    canvas.draw(scene);
    // Every colour of paper is a grey: one channel says it all.
    let grey: Vec<u8> = picture.pixels().iter().map(|pixel| pixel.red()).collect();
    encoded((width, height), &grey, &scene.alt).map_err(|error| PdfError(format!("as a picture: {error}")))
}

fn encoded((width, height): (u32, u32), grey: &[u8], alt: &str) -> Result<Vec<u8>, png::EncodingError> {
    let mut bytes = Vec::new();
    let mut encoder = Encoder::new(&mut bytes, width, height);
    encoder.set_color(ColorType::Grayscale);
    encoder.set_depth(BitDepth::Eight);
    // Flat areas and few greys: no filter is as small as any, and three levels of the search less take a sixth more bytes in half
    // the time. Source: W3C, PNG, 12.7 (filter selection).
    encoder.set_filter(Filter::NoFilter);
    encoder.set_deflate_compression(DeflateCompression::Level(DEFLATE_LEVEL));
    encoder.add_itxt_chunk("Description".to_owned(), alt.to_owned())?;
    let mut writer = encoder.write_header()?;
    writer.write_image_data(grey)?;
    writer.finish()?;
    Ok(bytes)
}

struct Canvas<'c> {
    picture: &'c mut Pixmap,
    typeface: &'c Typeface<'c>,
}

impl Canvas<'_> {
    fn draw(&mut self, scene: &Scene) {
        for item in &scene.items {
            match item {
                Item::Path { points, closed, fill, stroke } => {
                    let Some(path) = outline(points, *closed) else { continue };
                    if let Some(ink) = fill {
                        // Upright areas beside one another show no seam.
                        self.fill(&path, *ink, !is_upright(points), Transform::identity());
                    }
                    if let Some(stroke) = stroke {
                        self.line(&path, *stroke);
                    }
                }
                Item::Text { .. } => self.text(item),
            }
        }
    }

    fn fill(&mut self, path: &Path, ink: Ink, anti_alias: bool, placed: Transform) {
        let scale = Transform::from_scale(DOTS_TO_A_POINT, DOTS_TO_A_POINT);
        let paint = paint(ink, anti_alias);
        self.picture.fill_path(path, &paint, FillRule::Winding, scale.pre_concat(placed), None);
    }

    fn line(&mut self, path: &Path, stroke: Stroke) {
        let scale = Transform::from_scale(DOTS_TO_A_POINT, DOTS_TO_A_POINT);
        let pen = SkiaStroke {
            width: stroke.width,
            line_cap: LineCap::Butt,
            line_join: LineJoin::Miter,
            dash: stroke.dash.and_then(|(dash, gap)| StrokeDash::new(vec![dash, gap], 0.0)),
            ..SkiaStroke::default()
        };
        self.picture.stroke_path(path, &paint(stroke.ink, true), &pen, scale, None);
    }

    fn text(&mut self, item: &Item) {
        let Item::Text { at, anchor, size, weight, ink, runs_up, text } = item else { return };
        let (size, weight) = (*size, *weight);
        let text = self.typeface.writable(text);
        let width = self.typeface.width(&text, size, weight);
        let mut along = match anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => -width / 2.0,
            Anchor::End => -width,
        };
        for character in text.chars() {
            let mut pen = GlyphPen(PathBuilder::new());
            let advance = self.typeface.outline(character, weight, &mut pen);
            if let Some(glyph) = pen.0.finish() {
                // A glyph is drawn one point large, y up.
                let placed = if *runs_up {
                    Transform::from_row(0.0, -size, -size, 0.0, at.x, at.y - along)
                } else {
                    Transform::from_row(size, 0.0, 0.0, -size, at.x + along, at.y)
                };
                self.fill(&glyph, *ink, true, placed);
            }
            along += size * advance;
        }
    }
}

/// Draws the outline of a glyph into a path.
struct GlyphPen(PathBuilder);

impl OutlinePen for GlyphPen {
    fn move_to(&mut self, x: f32, y: f32) {
        self.0.move_to(x, y);
    }

    fn line_to(&mut self, x: f32, y: f32) {
        self.0.line_to(x, y);
    }

    fn quad_to(&mut self, cx0: f32, cy0: f32, x: f32, y: f32) {
        self.0.quad_to(cx0, cy0, x, y);
    }

    fn curve_to(&mut self, cx0: f32, cy0: f32, cx1: f32, cy1: f32, x: f32, y: f32) {
        self.0.cubic_to(cx0, cy0, cx1, cy1, x, y);
    }

    fn close(&mut self) {
        self.0.close();
    }
}

/// A line from point to point; `None` where it has no extent.
fn outline(points: &[Point], closed: bool) -> Option<Path> {
    let mut builder = PathBuilder::new();
    let (first, rest) = points.split_first()?;
    builder.move_to(first.x, first.y);
    for point in rest {
        builder.line_to(point.x, point.y);
    }
    if closed {
        builder.close();
    }
    builder.finish()
}

/// Whether all edges of an area run across or down.
fn is_upright(points: &[Point]) -> bool {
    let next = points.iter().cycle().skip(1);
    points.iter().zip(next).all(|(one, other)| one.x == other.x || one.y == other.y)
}

fn colour(ink: Ink) -> tiny_skia::Color {
    let grey = paper_grey(ink);
    tiny_skia::Color::from_rgba8(grey, grey, grey, u8::MAX)
}

fn paint(ink: Ink, anti_alias: bool) -> Paint<'static> {
    let mut paint = Paint { anti_alias, ..Paint::default() };
    paint.set_color(colour(ink));
    paint
}

#[cfg(test)]
mod tests {
    use super::scene_png;
    use crate::chart::{Ink, Item, Rectangle, Scene};

    const FONT: &[u8] = include_bytes!("../../../assets/fonts/SourceSans3VF-Upright.ttf");

    #[test]
    fn a_picture_begins_as_its_standard_says_and_tells_what_it_shows() {
        let area = Rectangle { left: 1.0, top: 1.0, right: 5.0, bottom: 3.0 };
        let items = vec![Item::rectangle(&area, Some(Ink::Text), None)];
        let scene = Scene { width: 10.0, height: 4.0, alt: "A bar".into(), items };
        let bytes = scene_png(&scene, FONT).unwrap();
        // W3C, PNG, 5.2: the signature; 11.2.1: the header, here of 20 by 8 dots, eight bits, grey.
        assert_eq!(bytes[..8], [137, 80, 78, 71, 13, 10, 26, 10]);
        assert_eq!(bytes[12..29], *b"IHDR\0\0\0\x14\0\0\0\x08\x08\0\0\0\0");
        assert!(bytes.windows(5).any(|part| part == b"A bar"));
        assert_eq!(bytes, scene_png(&scene, FONT).unwrap());
    }

    #[test]
    fn nothing_is_no_picture() {
        let scene = Scene { width: 0.0, height: 4.0, alt: String::new(), items: Vec::new() };
        let error = scene_png(&scene, FONT).unwrap_err();
        assert!(error.to_string().contains("0 by 8 dots"), "{error}");
    }
}
