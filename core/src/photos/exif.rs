//! What the camera wrote into a picture: read, and written again as far as the rep wants it kept.

use std::io::Cursor;

use chrono::{NaiveDate, NaiveDateTime};
use exif::experimental::Writer;
use exif::{Context, Exif, Field, In, Reader, Tag, Value};

use super::Keep;

/// Tags about the camera that are kept with [`Keep::camera`]. `BodySerialNumber`,
/// `CameraOwnerName` and their like are those of Exif 2.32, table 13.
const CAMERA: &[Tag] = &[
    Tag::Make,
    Tag::Model,
    Tag::Software,
    Tag::BodySerialNumber,
    Tag::CameraOwnerName,
    Tag::LensMake,
    Tag::LensModel,
    Tag::LensSerialNumber,
    Tag::MakerNote,
];

/// The most that one segment of a JPEG file holds beside its length and the word `Exif`.
const MOST: usize = 65_533 - 6;

/// The camera's notes.
pub(super) struct CameraNotes {
    exif: Option<Exif>,
}

impl CameraNotes {
    /// Reads a TIFF structure as far as it can be read; notes that cannot be read are no notes.
    pub(super) fn read(tiff: Option<&[u8]>) -> Self {
        let exif = tiff.and_then(|tiff| {
            let tiff = tiff.strip_prefix(b"Exif\0\0").unwrap_or(tiff);
            let mut reader = Reader::new();
            reader.continue_on_error(true);
            reader
                .read_raw(tiff.to_vec())
                .or_else(|error| error.distill_partial_result(|_| ()))
                .ok()
        });
        Self { exif }
    }

    fn field(&self, tag: Tag) -> Option<&Field> {
        self.exif.as_ref()?.get_field(tag, In::PRIMARY)
    }

    /// How the picture has to be turned: 1 to 8, by Exif 2.32, 4.6.4 A; 1, as it is, when the
    /// notes do not say or say something else.
    pub(super) fn orientation(&self) -> u8 {
        let noted = self.field(Tag::Orientation);
        let noted = noted.and_then(|field| field.value.get_uint(0));
        noted
            .and_then(|value| u8::try_from(value).ok())
            .filter(|value| (1..=8).contains(value))
            .unwrap_or(1)
    }

    /// When it was taken, by the camera's own clock and in its local time.
    pub(super) fn taken_at(&self) -> Option<NaiveDateTime> {
        let tags = [Tag::DateTimeOriginal, Tag::DateTimeDigitized, Tag::DateTime];
        tags.iter().find_map(|tag| moment(&self.field(*tag)?.value))
    }

    /// What is kept of the notes, as a TIFF structure; `None` when that is nothing. What cannot be
    /// written again is left out: a picture is not refused for odd notes.
    pub(super) fn kept(&self, keep: Keep) -> Option<Vec<u8>> {
        let exif = self.exif.as_ref()?;
        let wanted: Vec<&Field> = exif
            .fields()
            .filter(|field| field.ifd_num == In::PRIMARY)
            .filter(|field| !matches!(field.value, Value::Unknown(..)))
            .filter(|field| {
                let position = field.tag.context() == Context::Gps;
                (keep.position && position) || (keep.camera && CAMERA.contains(&field.tag))
            })
            .collect();
        written(&wanted).or_else(|| {
            // Only the maker's notes can be so long.
            let short: Vec<&Field> = wanted
                .into_iter()
                .filter(|field| field.tag != Tag::MakerNote)
                .collect();
            written(&short)
        })
    }
}

/// The fields as a TIFF structure, if there are any and they fit into a JPEG file.
fn written(fields: &[&Field]) -> Option<Vec<u8>> {
    if fields.is_empty() {
        return None;
    }
    let mut writer = Writer::new();
    for field in fields {
        writer.push_field(field);
    }
    let mut tiff = Cursor::new(Vec::new());
    writer.write(&mut tiff, false).ok()?;
    Some(tiff.into_inner()).filter(|tiff| tiff.len() <= MOST)
}

/// `2026:03:04 09:30:00` as a moment; cameras whose clock was never set write zeros or spaces.
fn moment(value: &Value) -> Option<NaiveDateTime> {
    let Value::Ascii(lines) = value else {
        return None;
    };
    let at = exif::DateTime::from_ascii(lines.first()?).ok()?;
    NaiveDate::from_ymd_opt(at.year.into(), at.month.into(), at.day.into())
        .filter(|_| at.year > 0)?
        .and_hms_opt(at.hour.into(), at.minute.into(), at.second.into())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn notes_that_cannot_be_read_are_no_notes() {
        for tiff in [
            None,
            Some(&b""[..]),
            Some(b"II*\0\xFF\xFF\xFF\xFF"),
            Some(b"x"),
        ] {
            let notes = CameraNotes::read(tiff);
            assert_eq!(notes.orientation(), 1);
            assert_eq!(notes.taken_at(), None);
            let keep = Keep {
                position: true,
                camera: true,
            };
            assert_eq!(notes.kept(keep), None);
        }
    }

    /// A field of type 99, which TIFF 6.0 tells readers to pass over, beside a sound one.
    #[test]
    fn a_field_of_an_unknown_type_is_left_out_and_the_others_are_kept() {
        let mut tiff = b"II*\0\x08\0\0\0\x02\0".to_vec();
        tiff.extend(b"\x0F\x01\x02\0\x04\0\0\0Ash\0"); // Make
        tiff.extend(b"\x10\x01\x63\0\x01\0\0\0\0\0\0\0"); // Model
        tiff.extend([0; 4]);
        let keep = Keep {
            position: true,
            camera: true,
        };
        let kept = CameraNotes::read(Some(&tiff)).kept(keep).unwrap();
        let kept = CameraNotes::read(Some(&kept));
        let make = kept.field(Tag::Make).unwrap();
        assert_eq!(make.value.display_as(Tag::Make).to_string(), "\"Ash\"");
        assert!(kept.field(Tag::Model).is_none());
    }

    #[test]
    fn a_clock_that_was_never_set_gives_no_date() {
        for text in [
            "0000:00:00 00:00:00",
            "    :  :     :  :  ",
            "2026:13:04 09:30:00",
            "",
        ] {
            let value = Value::Ascii(vec![text.as_bytes().to_vec()]);
            assert_eq!(moment(&value), None, "{text}");
        }
        let value = Value::Ascii(vec![b"2026:03:04 09:30:05".to_vec()]);
        let at = moment(&value).unwrap();
        assert_eq!(at.to_string(), "2026-03-04 09:30:05");
    }
}
