//! The look: every colour, space and size of type by name, for a lit room and for the red lamp.
//!
//! Contrast follows WCAG 2.2, success criteria 1.4.3 (text 4.5:1) and 1.4.11 (graphics 3:1); the application tests
//! compute it for every pair in [`Tokens::text_pairs`] and [`Tokens::graphic_pairs`]. The red lamp lights nothing
//! but the red dots of the screen. Port colours are those of Okabe & Ito 2008 ("Color Universal Design"), darkened
//! where a light ground asks for it; a port is told by its letter and lane first.

use std::sync::Arc;

use egui::epaint::text::VariationCoords;
use egui::style::{Selection, WidgetVisuals};
use egui::{
    Color32, Context, CornerRadius, FontData, FontDefinitions, FontFamily, FontId, FontTweak, Margin, Shadow,
    Stroke, Style, TextStyle, Theme, Visuals, vec2,
};

use crate::shell::assets::FONT;
use crate::state::Palette;

/// Space between a drawing and its own words, in points.
pub const NEAR: f32 = 2.0;
/// Space between things that belong together, in points.
pub const TIGHT: f32 = 4.0;
/// Space between lines of a group.
pub const SPACE: f32 = 8.0;
/// Space between groups, and the margin of a panel.
pub const WIDE: f32 = 14.0;
/// Height of a row or button: large enough for a gloved finger on a touchpad, and at the smallest text still 24 pixels.
pub const ROW: f32 = 30.0;
/// Least side of what the pointer is to hit, in pixels at the usual size (WCAG 2.2, success criterion 2.5.8).
const LEAST_SIDE: f32 = 24.0;
/// Width of the window below which Shelf and Card share one side.
pub const TWO_SIDES: f32 = 940.0;
/// Width of the window below which one part has all of it.
pub const ONE_PART: f32 = 720.0;
/// Corners of blocks and buttons.
pub const CORNER: CornerRadius = CornerRadius::same(3);

/// Strokes: hatching, hair lines and scales, what weighs more, what is selected, what the keyboard is on.
pub const FINE: f32 = 0.7;
pub const HAIR: f32 = 1.0;
pub const STRONG: f32 = 1.5;
pub const BOLD: f32 = 2.0;
pub const HEAVY: f32 = 3.0;

/// The smallest type, for a number on what is too narrow for more.
pub const TINY: f32 = 10.0;
/// Small type: scales, hints.
pub const SMALL: f32 = 13.0;
/// Type for the name of a stop whose block has no room for small type.
pub const SMALLER: f32 = 11.0;
/// Height of a line of type where lines of one name stand close together, as a share of its size.
pub const CLOSE_LINE: f32 = 1.05;
/// Type for reading.
pub const BODY: f32 = 15.0;
/// Headings.
pub const HEADING: f32 = 18.0;

/// Least side of what the pointer is to hit, in points: as many pixels of the usual size where the text is smaller.
pub fn least_side(context: &Context) -> f32 {
    LEAST_SIDE / context.zoom_factor().min(1.0)
}

/// Type in the regular weight.
pub fn regular(size: f32) -> FontId {
    FontId::new(size, FontFamily::Proportional)
}

/// Type in the heavier weight.
pub fn semibold(size: f32) -> FontId {
    FontId::new(size, FontFamily::Name(Arc::from(SEMIBOLD)))
}

const REGULAR: &str = "source-sans-400";
const SEMIBOLD: &str = "source-sans-600";

/// The colours of a printed side as the window shows it. Shades are those of areas that text may stand on.
#[derive(Clone, Copy, Debug)]
pub struct PaperTokens {
    /// Bare paper.
    pub ground: Color32,
    /// The darkest area.
    pub shade: Color32,
    /// Text and marks.
    pub ink: Color32,
    /// Quieter text.
    pub quiet: Color32,
    /// A move of the telescope.
    pub travel: Color32,
    /// Lines that only guide the eye.
    pub grid: Color32,
    /// The Moon's disc, lit and dark.
    pub moon_disc: (Color32, Color32),
}

/// All colours of a palette.
#[derive(Clone, Copy, Debug)]
pub struct Tokens {
    /// Behind everything.
    pub ground: Color32,
    /// Shelf and Card.
    pub panel: Color32,
    /// Fields, blocks, dialogs.
    pub raised: Color32,
    /// Text.
    pub ink: Color32,
    /// Quieter text.
    pub quiet: Color32,
    /// Hair lines that carry no meaning.
    pub hair: Color32,
    /// Outlines and scales that carry meaning.
    pub edge: Color32,
    /// What is selected, and what the keyboard is on.
    pub accent: Color32,
    /// Behind what is selected.
    pub accent_soft: Color32,
    /// Behind a button.
    pub button: Color32,
    /// Behind a button under the pointer.
    pub button_hover: Color32,
    /// Stoppers.
    pub stopper: Color32,
    /// Cautions.
    pub caution: Color32,
    /// The Moon's path and disc.
    pub moon: Color32,
    /// Under the Moon's path.
    pub moon_soft: Color32,
    /// The Moon's disc, lit and dark.
    pub moon_disc: (Color32, Color32),
    /// Ground below the horizon profile, a line of people, a telescope that follows a target.
    pub earth: Color32,
    /// A move of the telescope, and what hatches a closed part of the sky.
    pub travel: Color32,
    /// Sky at its brightest and at its darkest.
    pub sky: (Color32, Color32),
    /// The unrolled sky at its brightest and at its darkest, as shades of paper.
    pub dome: (Color32, Color32),
    /// Ports in the order of the rig, repeated if there are more.
    pub ports: [Color32; 6],
    /// Under the path of a target that a port shows, in the same order.
    pub ports_soft: [Color32; 6],
    /// A printed side.
    pub paper: PaperTokens,
}

const fn grey_red(red: u8) -> Color32 {
    Color32::from_rgb(red, 0, 0)
}

/// A lit room: warm paper, dark ink, one deep green for what is selected.
const DAY: Tokens = Tokens {
    ground: Color32::from_rgb(0xF1, 0xEE, 0xE6),
    panel: Color32::from_rgb(0xFA, 0xF8, 0xF3),
    raised: Color32::from_rgb(0xFF, 0xFF, 0xFF),
    ink: Color32::from_rgb(0x1E, 0x24, 0x2A),
    quiet: Color32::from_rgb(0x57, 0x5D, 0x63),
    hair: Color32::from_rgb(0xDD, 0xD8, 0xCC),
    edge: Color32::from_rgb(0x7A, 0x7C, 0x78),
    accent: Color32::from_rgb(0x0A, 0x5C, 0x55),
    accent_soft: Color32::from_rgb(0xDB, 0xEA, 0xE4),
    button: Color32::from_rgb(0xE9, 0xE5, 0xDA),
    button_hover: Color32::from_rgb(0xDF, 0xDA, 0xCC),
    stopper: Color32::from_rgb(0xA1, 0x1D, 0x12),
    caution: Color32::from_rgb(0x7A, 0x4E, 0x00),
    moon: Color32::from_rgb(0x8A, 0x74, 0x2B),
    moon_soft: Color32::from_rgb(0xEC, 0xE3, 0xC6),
    moon_disc: (Color32::from_rgb(0xFF, 0xF7, 0xDC), Color32::from_rgb(0x52, 0x57, 0x5E)),
    earth: Color32::from_rgb(0xE8, 0xE4, 0xD9),
    travel: Color32::from_rgb(0x4F, 0x54, 0x58),
    sky: (Color32::from_rgb(0xC9, 0xDE, 0xEA), Color32::from_rgb(0x17, 0x21, 0x3A)),
    dome: (Color32::from_rgb(0xFF, 0xFD, 0xF7), Color32::from_rgb(0xB5, 0xAE, 0x9E)),
    ports: [
        Color32::from_rgb(0x00, 0x72, 0xB2),
        Color32::from_rgb(0xD5, 0x5E, 0x00),
        Color32::from_rgb(0x00, 0x8F, 0x69),
        Color32::from_rgb(0xB8, 0x68, 0x95),
        Color32::from_rgb(0x9C, 0x75, 0x00),
        Color32::from_rgb(0x35, 0x86, 0xB5),
    ],
    ports_soft: [
        Color32::from_rgb(0xD1, 0xE6, 0xF1),
        Color32::from_rgb(0xF7, 0xE2, 0xD1),
        Color32::from_rgb(0xD1, 0xEB, 0xE4),
        Color32::from_rgb(0xF2, 0xE4, 0xEC),
        Color32::from_rgb(0xED, 0xE6, 0xD1),
        Color32::from_rgb(0xDB, 0xE9, 0xF2),
    ],
    paper: PaperTokens {
        ground: Color32::from_gray(255),
        shade: Color32::from_gray(0),
        ink: Color32::from_gray(0),
        quiet: Color32::from_gray(110),
        travel: Color32::from_gray(80),
        grid: Color32::from_gray(190),
        moon_disc: (Color32::from_gray(255), Color32::from_gray(90)),
    },
};

/// The red lamp: shape, weight and brightness tell what colour tells by day.
const RED_LAMP: Tokens = Tokens {
    ground: grey_red(0),
    panel: grey_red(10),
    raised: grey_red(18),
    ink: grey_red(255),
    quiet: grey_red(244),
    hair: grey_red(70),
    edge: grey_red(195),
    accent: grey_red(255),
    accent_soft: grey_red(40),
    button: grey_red(30),
    button_hover: grey_red(46),
    stopper: grey_red(255),
    caution: grey_red(255),
    moon: grey_red(215),
    moon_soft: grey_red(40),
    moon_disc: (grey_red(230), grey_red(12)),
    earth: grey_red(36),
    travel: grey_red(235),
    sky: (grey_red(120), grey_red(0)),
    dome: (grey_red(46), grey_red(0)),
    ports: [grey_red(255), grey_red(235), grey_red(220), grey_red(205), grey_red(200), grey_red(245)],
    ports_soft: [grey_red(46); 6],
    paper: PaperTokens {
        ground: grey_red(34),
        shade: grey_red(0),
        ink: grey_red(255),
        quiet: grey_red(248),
        travel: grey_red(225),
        grid: grey_red(90),
        moon_disc: (grey_red(230), grey_red(12)),
    },
};

impl Tokens {
    /// The colours of a palette.
    pub const fn of(palette: Palette) -> &'static Self {
        match palette {
            Palette::Day => &DAY,
            Palette::RedLamp => &RED_LAMP,
        }
    }

    /// The colour of a port by its position on the rig.
    pub const fn port(&self, index: usize) -> Color32 {
        self.ports[index % self.ports.len()]
    }

    /// What lies under the path of a target on it.
    pub const fn port_soft(&self, index: usize) -> Color32 {
        self.ports_soft[index % self.ports_soft.len()]
    }

    /// Every pair of text and ground that is used, with its name.
    pub fn text_pairs(&self) -> Vec<(&'static str, Color32, Color32)> {
        let grounds = [self.ground, self.panel, self.raised];
        let inks = [
            ("ink", self.ink),
            ("quiet", self.quiet),
            ("accent", self.accent),
            ("stopper", self.stopper),
            ("caution", self.caution),
        ];
        let mut pairs: Vec<_> =
            grounds.iter().flat_map(|ground| inks.map(|(name, ink)| (name, ink, *ground))).collect();
        for soft in [self.accent_soft, self.button, self.button_hover, self.moon_soft, self.earth] {
            pairs.push(("ink on what is filled softly", self.ink, soft));
        }
        pairs.extend(self.ports_soft.map(|soft| ("ink under a path", self.ink, soft)));
        pairs.push(("ink on paper", self.paper.ink, self.paper.ground));
        pairs.push(("quieter ink on paper", self.paper.quiet, self.paper.ground));
        pairs
    }

    /// Every pair of a drawing that carries meaning, with its name.
    pub fn graphic_pairs(&self) -> Vec<(&'static str, Color32, Color32)> {
        let mut pairs = vec![("lit and dark Moon", self.moon_disc.0, self.moon_disc.1)];
        for ground in [self.ground, self.panel, self.raised] {
            pairs.push(("edge", self.edge, ground));
            pairs.push(("moon", self.moon, ground));
            pairs.push(("travel", self.travel, ground));
            pairs.push(("what is held", self.ink, ground));
            pairs.push(("accent", self.accent, ground));
            pairs.push(("stopper", self.stopper, ground));
            pairs.push(("caution", self.caution, ground));
            pairs.extend(self.ports.map(|port| ("port", port, ground)));
        }
        pairs.push(("a move on paper", self.paper.travel, self.paper.ground));
        pairs.push(("lit and dark Moon on paper", self.paper.moon_disc.0, self.paper.moon_disc.1));
        pairs.push(("the path of the Moon", self.moon, self.moon_soft));
        for ground in [self.earth, self.accent_soft] {
            pairs.push(("edge on what is filled softly", self.edge, ground));
            pairs.push(("a move or a closed part of the sky on what is filled softly", self.travel, ground));
        }
        for shade in [self.dome.0, self.dome.1] {
            pairs.push(("an edge on the unrolled sky", self.ink, shade));
            pairs.push(("a way or a closed part on the unrolled sky", self.travel, shade));
            pairs.push(("the next move on the unrolled sky", self.accent, shade));
            pairs.push(("the Sun's exclusion on the unrolled sky", self.stopper, shade));
        }
        for (name, mark) in [
            ("accent", self.accent),
            ("what is held", self.ink),
            ("stopper", self.stopper),
            ("caution", self.caution),
        ] {
            pairs.push((name, mark, self.accent_soft));
            pairs.extend(self.ports_soft.map(|soft| (name, mark, soft)));
        }
        pairs.extend(self.ports.map(|port| ("port of what is selected", port, self.accent_soft)));
        for (port, soft) in self.ports.into_iter().zip(self.ports_soft) {
            pairs.push(("path over what lies under it", port, soft));
            pairs.push(("a move or a closed part of the sky under a path", self.travel, soft));
        }
        pairs.push(("path near the ground", self.accent, self.earth));
        pairs
    }
}

/// Loads the typeface in two weights; once for a context.
pub fn install_fonts(context: &Context) {
    let mut fonts = FontDefinitions::empty();
    for (name, weight) in [(REGULAR, 400.0), (SEMIBOLD, 600.0)] {
        // The variable font opens at weight 200: every use must name its weight.
        let tweak = FontTweak { coords: VariationCoords::new([(b"wght", weight)]), ..FontTweak::default() };
        fonts.font_data.insert(name.to_owned(), Arc::new(FontData::from_static(FONT).tweak(tweak)));
    }
    for family in [FontFamily::Proportional, FontFamily::Monospace] {
        fonts.families.insert(family, vec![REGULAR.to_owned()]);
    }
    fonts.families.insert(FontFamily::Name(Arc::from(SEMIBOLD)), vec![SEMIBOLD.to_owned()]);
    context.set_fonts(fonts);
}

/// Puts a palette on; cheap, but not for every frame.
pub fn put_on(context: &Context, palette: Palette) {
    let tokens = Tokens::of(palette);
    let visuals = visuals(tokens, palette);
    context.set_theme(if palette == Palette::Day { Theme::Light } else { Theme::Dark });
    context.all_styles_mut(|style| {
        style.visuals = visuals.clone();
        measure(style);
    });
}

fn measure(style: &mut Style) {
    style.text_styles = [
        (TextStyle::Small, regular(SMALL)),
        (TextStyle::Body, regular(BODY)),
        (TextStyle::Button, regular(BODY)),
        (TextStyle::Monospace, regular(BODY)),
        (TextStyle::Heading, semibold(HEADING)),
    ]
    .into();
    style.drag_value_text_style = TextStyle::Body;
    style.animation_time = 0.0;
    let spacing = &mut style.spacing;
    spacing.item_spacing = vec2(SPACE, 6.0);
    spacing.button_padding = vec2(9.0, 3.0);
    spacing.interact_size = vec2(ROW, ROW);
    spacing.window_margin = Margin::same(WIDE as i8);
    spacing.menu_margin = Margin::same(6);
    spacing.scroll.floating = false;
    spacing.scroll.bar_width = 6.0;
    style.interaction.tooltip_delay = 0.4;
}

fn visuals(tokens: &Tokens, palette: Palette) -> Visuals {
    let mut visuals = if palette == Palette::Day { Visuals::light() } else { Visuals::dark() };
    let widget = |fill: Color32, edge: Color32| WidgetVisuals {
        bg_fill: fill,
        weak_bg_fill: fill,
        bg_stroke: Stroke::new(1.0, edge),
        corner_radius: CORNER,
        fg_stroke: Stroke::new(1.0, tokens.ink),
        expansion: 0.0,
    };
    visuals.widgets.noninteractive = widget(tokens.panel, tokens.hair);
    visuals.widgets.inactive = widget(tokens.button, tokens.edge);
    visuals.widgets.hovered = widget(tokens.button_hover, tokens.ink);
    visuals.widgets.active = widget(tokens.accent_soft, tokens.accent);
    visuals.widgets.open = widget(tokens.accent_soft, tokens.accent);
    visuals.selection = Selection { bg_fill: tokens.accent_soft, stroke: Stroke::new(1.5, tokens.accent) };
    visuals.ime_composition.active_underline_stroke.color = tokens.accent;
    visuals.ime_composition.inactive_underline_stroke.color = tokens.quiet;
    visuals.override_text_color = Some(tokens.ink);
    visuals.weak_text_color = Some(tokens.quiet);
    visuals.hyperlink_color = tokens.accent;
    visuals.error_fg_color = tokens.stopper;
    visuals.warn_fg_color = tokens.caution;
    visuals.faint_bg_color = tokens.ground;
    visuals.extreme_bg_color = tokens.raised;
    visuals.text_edit_bg_color = Some(tokens.raised);
    visuals.code_bg_color = tokens.raised;
    visuals.panel_fill = tokens.panel;
    visuals.window_fill = tokens.raised;
    visuals.window_stroke = Stroke::new(1.0, tokens.edge);
    visuals.window_corner_radius = CornerRadius::same(5);
    visuals.menu_corner_radius = CornerRadius::same(5);
    visuals.window_shadow = Shadow { color: Color32::from_black_alpha(60), ..visuals.window_shadow };
    visuals.popup_shadow = Shadow { color: Color32::from_black_alpha(50), ..visuals.popup_shadow };
    visuals.text_cursor.stroke = Stroke::new(2.0, tokens.accent);
    visuals.text_cursor.blink = false;
    visuals
}
