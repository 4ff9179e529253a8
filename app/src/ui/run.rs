//! The real window: eframe with OpenGL, one plain sentence where it can't open.

use std::path::PathBuf;
use std::sync::Arc;

use eframe::{App, CreationContext, Frame, NativeOptions, Renderer, run_native};
use egui::{Context, Ui, ViewportBuilder, ViewportCommand};

use super::dialogs::FileChooser;
use super::text;
use super::window::{ask_inside, set_up, show, window_title};
use crate::state::{AppState, Command, Outside, apply};

/// The identity of the program for the desktop.
const APP_ID: &str = "evenfall";
const SIZE: [f32; 2] = [1280.0, 800.0];
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
    let viewport = ViewportBuilder::default()
        .with_title(text::PROGRAM)
        .with_app_id(APP_ID)
        .with_inner_size(SIZE)
        .with_min_inner_size(SMALLEST);
    let native = NativeOptions { viewport, renderer: Renderer::Glow, ..NativeOptions::default() };
    run_native(APP_ID, native, Box::new(|creation| Ok(Box::new(Window::new(creation, options)))))
        .map_err(|error| text::no_window(&error.to_string()))
}

struct Window {
    state: AppState,
    chooser: FileChooser,
    has_chooser: bool,
    title: String,
}

impl Window {
    fn new(creation: &CreationContext<'_>, options: Options) -> Self {
        set_up(&creation.egui_ctx);
        let state = AppState::new(options.outside, options.evening);
        let context = creation.egui_ctx.clone();
        state.wake_with(move || context.request_repaint());
        Self {
            state,
            chooser: FileChooser::default(),
            has_chooser: FileChooser::is_offered(),
            title: String::new(),
        }
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
}
