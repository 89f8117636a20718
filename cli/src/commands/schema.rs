//! `agewright schema`: the formats and the answers as JSON Schema.

use crate::arguments::{SchemaArguments, SchemaOf};
use crate::asked::request::calibration;
use crate::disk::catalogue_file::read_catalogue_with_marks;
use crate::failure::Failure;
use crate::streams::Streams;
use agewright_files::schemas::{calibration_schema, catalogue_schema, record_schema, rules_schema};
use agewright_pages::json::schema::answer_schema;

pub fn run(arguments: &SchemaArguments, streams: &mut Streams<'_>) -> Result<(), Failure> {
    let schema = match arguments.what {
        SchemaOf::Record => {
            let catalogue = match &arguments.catalogue {
                Some(path) => read_catalogue_with_marks(Some(path), &[], streams)?.catalogue,
                None => calibration(arguments.calibration.as_deref(), &[], streams)?.calibration.catalogue().clone(),
            };
            record_schema(&catalogue)
        }
        SchemaOf::Catalogue => catalogue_schema(),
        SchemaOf::Rules => rules_schema(),
        SchemaOf::Calibration => calibration_schema(),
        SchemaOf::Answer => answer_schema(&arguments.of)
            .ok_or_else(|| Failure::Usage(format!("--of {}: its answer has no schema", arguments.of)))?,
    };
    Ok(writeln!(streams.stdout, "{}", serde_json::to_string_pretty(&schema)?)?)
}
