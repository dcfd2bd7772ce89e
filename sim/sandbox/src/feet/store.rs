//! The settings on the disk. A file that cannot be understood is kept under another name and nothing is lost; a file that
//! cannot be read is never written over.

use super::settings::{Settings, from_text, to_text};
use crate::keys::Bindings;
use crate::recorder::free_name;
use bevy::prelude::Resource;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

/// Environment variable that names the folder of the settings.
pub const FOLDER_VARIABLE: &str = "TOELINE_CONFIG";

/// The file that settings are saved in; `None` keeps them for this run only.
#[derive(Resource, Clone, Debug, Default, PartialEq, Eq)]
pub struct SettingsFile(pub Option<PathBuf>);

/// Where the settings are: the folder that `TOELINE_CONFIG` names, or this system's own place for such files.
pub fn usual_file() -> Option<PathBuf> {
    let named = std::env::var_os(FOLDER_VARIABLE)
        .filter(|v| !v.is_empty())
        .map(PathBuf::from);
    named
        .or_else(|| directories::ProjectDirs::from("", "", "toeline").map(|d| d.config_dir().to_path_buf()))
        .map(|folder| folder.join("controls.json"))
}

/// What was found on the disk.
#[derive(Clone, Debug, PartialEq)]
pub struct Loaded {
    /// Which key does what.
    pub bindings: Bindings,
    /// Devices and mouse.
    pub settings: Settings,
    /// Where changes go; `None` when they cannot be saved.
    pub file: SettingsFile,
    /// What the user must know, if anything.
    pub trouble: Option<String>,
}

/// Reads the settings. Never fails: with trouble it goes on with the defaults and says so.
pub fn load(file: Option<&Path>) -> Loaded {
    let defaults = |file: Option<&Path>, trouble: Option<String>| Loaded {
        bindings: Bindings::default(),
        settings: Settings::default(),
        file: SettingsFile(file.map(Path::to_path_buf)),
        trouble,
    };
    let Some(path) = file else {
        let words = format!(
            "This system names no folder for settings: they last for this run. {FOLDER_VARIABLE} can name one."
        );
        return defaults(None, Some(words));
    };
    let bytes = match std::fs::read(path) {
        Ok(bytes) => bytes,
        Err(e) if e.kind() == ErrorKind::NotFound => return defaults(file, None),
        Err(e) => {
            let words = format!(
                "{}: cannot be read ({e}); defaults are used, and changes are not saved",
                path.display()
            );
            return defaults(None, Some(words));
        }
    };
    let wrong = match String::from_utf8(bytes) {
        Ok(text) => match from_text(&text) {
            Ok((bindings, settings)) => {
                return Loaded {
                    bindings,
                    settings,
                    ..defaults(file, None)
                };
            }
            Err(list) => list.join("; "),
        },
        Err(_) => "it is not text".into(),
    };
    let aside = free_name(&path.with_extension("broken.json"));
    match std::fs::rename(path, &aside) {
        Ok(()) => {
            let words = format!(
                "{}: {wrong}. Defaults are used; the file is kept as {}",
                path.display(),
                aside.display()
            );
            defaults(file, Some(words))
        }
        Err(e) => {
            let words = format!(
                "{}: {wrong}. Defaults are used. It could not be kept aside ({e}), so changes are not saved",
                path.display()
            );
            defaults(None, Some(words))
        }
    }
}

/// Writes the settings, whole or not at all.
///
/// # Errors
/// What stood in the way, in words.
pub fn save(file: &SettingsFile, bindings: &Bindings, settings: &Settings) -> Result<(), String> {
    let Some(path) = &file.0 else {
        return Ok(());
    };
    let cannot = |e: std::io::Error| format!("{}: settings cannot be saved: {e}", path.display());
    if let Some(folder) = path.parent() {
        std::fs::create_dir_all(folder).map_err(cannot)?;
    }
    let new = path.with_extension("new");
    std::fs::write(&new, to_text(bindings, settings)).map_err(cannot)?;
    std::fs::rename(&new, path).map_err(cannot)
}
