//! The real window: eframe with OpenGL, one plain sentence where it can't open.

use std::path::PathBuf;
use std::sync::Arc;
use std::time::Duration;

use eframe::glow::Context as Context3d;
use eframe::{App, CreationContext, Frame, NativeOptions, Renderer, run_native};
use egui::{Context, Ui, ViewportBuilder, ViewportCommand, ViewportInfo, vec2};

use super::dialogs::FileChooser;
use super::text;
use super::window::{ask_inside, set_up, show, window_title};
use crate::state::{AppState, Command, Outside, WindowPlace, apply};

/// The identity of the program for the desktop.
const APP_ID: &str = "evenfall";
const SIZE: [f32; 2] = [1280.0, 800.0];
/// After this long in one place the window is remembered there.
const STAYS: Duration = Duration::from_millis(400);
const SMALLEST: [f32; 2] = [840.0, 500.0];

/// How the window starts.
pub struct Options {
    /// An evening to open; `None` for the demonstration.
    pub evening: Option<PathBuf>,
    /// The outside world.
    pub outside: Arc<dyn Outside>,
}

/// Opens the window and stays until it is closed.
///
/// # Errors
/// One plain sentence: what is missing, and what to do.
pub fn run(options: Options) -> Result<(), String> {
    // The worker begins to read while the window opens.
    let state = AppState::new(options.outside, options.evening);
    let viewport = placed(state.settings().window)
        .with_title(text::PROGRAM)
        .with_app_id(APP_ID)
        .with_min_inner_size(SMALLEST);
    let native = NativeOptions { viewport, renderer: Renderer::Glow, ..NativeOptions::default() };
    run_native(APP_ID, native, Box::new(|creation| Ok(Box::new(Window::new(creation, state)))))
        .map_err(|error| text::no_window(&error.to_string()))
}

/// The window as large as it was, or of the usual size.
fn placed(window: Option<WindowPlace>) -> ViewportBuilder {
    let viewport = ViewportBuilder::default();
    let Some(WindowPlace { size: (width, height), maximised }) = window else {
        return viewport.with_inner_size(SIZE);
    };
    viewport.with_inner_size(vec2(width, height)).with_maximized(maximised)
}

/// How large the window is, in points at the usual size of text; `None` while it can't be told or is not to be remembered.
fn place(viewport: &ViewportInfo, zoom: f32, before: Option<WindowPlace>) -> Option<WindowPlace> {
    if viewport.minimized == Some(true) || viewport.fullscreen == Some(true) {
        return None;
    }
    if viewport.maximized == Some(true) {
        // The size it goes back to is the one from before.
        let size = before.map_or((SIZE[0], SIZE[1]), |before| before.size);
        return Some(WindowPlace { size, maximised: true });
    }
    let size = viewport.inner_rect?.size() * zoom;
    Some(WindowPlace { size: (size.x.round(), size.y.round()), maximised: false })
}

struct Window {
    state: AppState,
    chooser: FileChooser,
    has_chooser: bool,
    title: String,
    /// Where the window was in the frame before.
    place: Option<WindowPlace>,
}

impl Window {
    fn new(creation: &CreationContext<'_>, state: AppState) -> Self {
        set_up(&creation.egui_ctx);
        let context = creation.egui_ctx.clone();
        state.wake_with(move || context.request_repaint());
        Self {
            state,
            chooser: FileChooser::default(),
            has_chooser: FileChooser::is_offered(),
            title: String::new(),
            place: None,
        }
    }

    /// Remembers where the window is once it has stayed there for a frame: nothing is written while it is pulled about.
    fn follow_place(&mut self, context: &Context) {
        let before = self.state.settings().window;
        let zoom = context.zoom_factor();
        let now = context.input(|input| place(input.viewport(), zoom, before));
        match now.filter(|_| now != before) {
            Some(place) if self.place == now => self.state.note_window(place),
            Some(_) => context.request_repaint_after(STAYS),
            None => {}
        }
        self.place = now;
    }

    fn close_or_ask(&mut self, context: &Context) {
        if context.input(|input| input.viewport().close_requested()) && !self.state.view.may_close {
            context.send_viewport_cmd(ViewportCommand::CancelClose);
            apply(&mut self.state, Command::Close);
        }
        if self.state.view.may_close {
            context.send_viewport_cmd(ViewportCommand::Close);
        }
    }

    fn ask_for_path(&mut self, context: &Context) {
        if self.has_chooser {
            if let Some(purpose) = self.state.view.wants_path.take() {
                let start = self.state.suggested_path(purpose);
                self.chooser.ask(context, purpose, &start);
            }
            if let Some(command) = self.chooser.poll() {
                apply(&mut self.state, command);
            }
        } else {
            ask_inside(&mut self.state);
        }
    }
}

impl App for Window {
    fn ui(&mut self, ui: &mut Ui, _frame: &mut Frame) {
        self.close_or_ask(ui.ctx());
        self.follow_place(ui.ctx());
        show(ui, &mut self.state);
        self.ask_for_path(ui.ctx());
        let title = window_title(&self.state);
        if title != self.title {
            ui.ctx().send_viewport_cmd(ViewportCommand::Title(title.clone()));
            self.title = title;
        }
        if self.state.view.may_close {
            ui.ctx().request_repaint();
        }
    }

    fn on_exit(&mut self, _gl: Option<&Context3d>) {
        self.state.keep_settings_now();
        self.state.close_keeping();
    }
}
