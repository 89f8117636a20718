//! Files in and out.

pub mod catalogue_file;
pub mod folder_name;
pub mod json_line;
pub mod own_pages;
pub mod photograph_files;
pub mod picture_file;
pub mod record_file;
pub mod records;
pub mod table_file;
pub mod text_file;
pub mod whole_file;
