//! The desktop's file dialog on its own thread, so that no frame ever waits for it.
//!
//! An answer of "none" from the dialog means "not chosen" as well as "no dialog service", so the service is looked
//! for first: the XDG desktop portal as an activatable service of the session bus (XDG Base Directory and D-Bus
//! specifications: `dbus-1/services` below the data directories), or `zenity` on the search path.

use std::env;
use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, TryRecvError, channel};
use std::thread;

use egui::Context;
use rfd::FileDialog;

use crate::state::{Command, Part, PathUse};
use crate::ui::file_words;
use crate::ui::text;

const PORTAL_SERVICE: &str = "dbus-1/services/org.freedesktop.portal.Desktop.service";
const USUAL_DATA_DIRS: &str = "/usr/local/share:/usr/share";

/// A dialog under way, or none.
#[derive(Default)]
pub struct FileChooser {
    answer: Option<Receiver<Option<PathBuf>>>,
    purpose: Option<PathUse>,
}

impl FileChooser {
    /// Whether this desktop has a file dialog.
    pub fn is_offered() -> bool {
        if cfg!(not(target_os = "linux")) {
            return true;
        }
        let has_bus = env::var_os("DBUS_SESSION_BUS_ADDRESS").is_some();
        (has_bus && data_dirs().iter().any(|dir| dir.join(PORTAL_SERVICE).is_file())) || on_path("zenity")
    }

    /// Asks for a path; nothing happens while a dialog is open.
    pub fn ask(&mut self, context: &Context, purpose: PathUse, start: &Path) {
        if self.answer.is_some() {
            return;
        }
        let dialog = FileDialog::new().set_title(file_words::path_title(purpose));
        let dialog = match purpose {
            PathUse::Open | PathUse::Save => dialog.add_filter(text::EVENING_MENU, &["ron"]),
            PathUse::OpenPart(part) | PathUse::NewPart(part) => dialog.add_filter(path_words(part), &["ron"]),
            PathUse::Folder | PathUse::HorizonText | PathUse::List => dialog,
            PathUse::ExportProblem => dialog.add_filter("JSON", &["json"]),
        };
        let name = start.file_name().map(|name| name.to_string_lossy().into_owned());
        let inside = if purpose == PathUse::Folder { Some(start) } else { start.parent() };
        let dialog = match inside.filter(|folder| folder.is_dir()) {
            Some(folder) => dialog.set_directory(folder),
            None => dialog,
        };
        let dialog = match name
            .filter(|_| matches!(purpose, PathUse::Save | PathUse::ExportProblem | PathUse::NewPart(_)))
        {
            Some(name) => dialog.set_file_name(name),
            None => dialog,
        };
        let (sender, answer) = channel();
        let context = context.clone();
        thread::spawn(move || {
            let path = match purpose {
                PathUse::Open | PathUse::OpenPart(_) | PathUse::HorizonText | PathUse::List => {
                    dialog.pick_file()
                }
                PathUse::Folder => dialog.pick_folder(),
                PathUse::Save | PathUse::ExportProblem | PathUse::NewPart(_) => dialog.save_file(),
            };
            // The window may be gone by now; then nobody waits for the path.
            let _ = sender.send(path);
            context.request_repaint();
        });
        self.answer = Some(answer);
        self.purpose = Some(purpose);
    }

    /// What came of the dialog, once it is closed.
    pub fn poll(&mut self) -> Option<Command> {
        let chosen = match self.answer.as_ref()?.try_recv() {
            Err(TryRecvError::Empty) => return None,
            Ok(path) => path,
            Err(TryRecvError::Disconnected) => None,
        };
        self.answer = None;
        let purpose = self.purpose.take();
        Some(match (purpose, chosen) {
            // The desktop's dialog has asked about a file that is there already.
            (Some(purpose), Some(path)) => Command::Replace(purpose, path),
            _ => Command::ChooseNothing,
        })
    }
}

const fn path_words(part: Part) -> &'static str {
    match part {
        Part::Site => "Site",
        Part::Rig => "Rig",
        Part::Catalogue => "Catalogue",
    }
}

fn data_dirs() -> Vec<PathBuf> {
    let system = env::var_os("XDG_DATA_DIRS").unwrap_or_else(|| OsString::from(USUAL_DATA_DIRS));
    let own = env::var_os("XDG_DATA_HOME").map(PathBuf::from);
    let own = own.or_else(|| env::home_dir().map(|home| home.join(".local/share")));
    own.into_iter().chain(env::split_paths(&system)).collect()
}

fn on_path(program: &str) -> bool {
    env::var_os("PATH").is_some_and(|path| env::split_paths(&path).any(|dir| dir.join(program).is_file()))
}
