//! The JSON Schemas of what goes out.

use schemars::generate::SchemaSettings;
use tautbook_core::book::Journal;
use tautbook_core::dayfile::{Manifest, RecordsFile};

use crate::cli::SchemaOf;
use crate::office::SiteList;
use crate::show::report::Shown;
use crate::{Outcome, print};

/// `tautbook schema`.
pub(crate) fn command(of: SchemaOf) -> anyhow::Result<Outcome> {
    let mut text = serde_json::to_string_pretty(&match of {
        // What is printed carries every field; what is read may leave out those with defaults.
        SchemaOf::Show => SchemaSettings::draft2020_12()
            .for_serialize()
            .into_generator()
            .into_root_schema_for::<Shown>(),
        SchemaOf::Sites => SchemaSettings::draft2020_12()
            .for_serialize()
            .into_generator()
            .into_root_schema_for::<SiteList>(),
        SchemaOf::Records => SchemaSettings::draft2020_12()
            .into_generator()
            .into_root_schema_for::<RecordsFile>(),
        SchemaOf::History => SchemaSettings::draft2020_12()
            .into_generator()
            .into_root_schema_for::<Journal>(),
        SchemaOf::Manifest => SchemaSettings::draft2020_12()
            .into_generator()
            .into_root_schema_for::<Manifest>(),
    })?;
    text.push('\n');
    print(&text)?;
    Ok(Outcome::Fine)
}
