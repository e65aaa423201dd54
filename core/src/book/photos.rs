//! Pictures in the book: recording what is on disk, captions, order.

use rusqlite::types::Value as Sql;

use super::{Act, Book, BookError, store};
use crate::photos::{Kept, PhotoFolder};
use crate::survey::{ContentError, Id, Kind, Photo, Record, RecordRef, Visit};
use crate::word;

/// Where a condition of ours finds the pictures of one record, set aside or not.
const OF: &str = "body ->> '$.of.id' = ?1";

impl Book {
    /// The folder of the book's pictures.
    #[must_use]
    pub fn photo_folder(&self) -> PhotoFolder {
        PhotoFolder::beside(self.path())
    }

    /// The pictures of a record that are in use, in the order they are shown.
    ///
    /// # Errors
    /// The store's errors.
    pub fn photos_of(&self, of: RecordRef) -> Result<Vec<Record<Photo>>, BookError> {
        in_order(&self.db, of)
    }
}

fn in_order(db: &rusqlite::Connection, of: RecordRef) -> Result<Vec<Record<Photo>>, BookError> {
    let condition = format!("{OF} AND aside_ms IS NULL");
    let mut photos: Vec<Record<Photo>> =
        store::query(db, &condition, vec![Sql::Text(of.id.to_string())])?;
    photos.retain(|photo| photo.of == of);
    photos.sort_by_key(|photo| photo.order); // Those of equal order stay as they were made.
    Ok(photos)
}

impl Act<'_> {
    /// Records a picture that is on disk, after the others of the same record.
    ///
    /// # Errors
    /// [`BookError::NotFound`] when what it shows is not in the book, [`BookError::Content`] when
    /// that belongs to no visit, or the store's errors.
    pub fn add_photo(
        &mut self,
        kept: &Kept,
        of: RecordRef,
        caption: impl Into<String>,
    ) -> Result<Record<Photo>, BookError> {
        self.go_on()?;
        if !store::exists(&self.tx, of.kind, of.id)? {
            return Err(BookError::NotFound(of));
        }
        let visit = store::visit_of(&self.tx, of)?.ok_or_else(|| BookError::Content {
            kind: Kind::Photo,
            source: ContentError::new("of", word!("a picture shows something of a visit")),
        })?;
        let (width_px, height_px) = kept.size();
        let order = in_order(&self.tx, of)?.last().map(|last| last.order);
        self.add(Photo {
            visit: Id::<Visit>::from_uuid(visit),
            of,
            sha256: kept.sha256().to_owned(),
            width_px,
            height_px,
            bytes: kept.bytes(),
            order: order.map_or(0, |order| order.saturating_add(1)),
            caption: caption.into(),
            taken_at: kept.taken_at(),
            original: None,
        })
    }

    /// Records a copy with marks, right after the picture it was made of, with its caption.
    ///
    /// # Errors
    /// [`BookError::NotFound`] when the original is not in the book, or the store's errors.
    pub fn add_marked_photo(
        &mut self,
        kept: &Kept,
        original: Id<Photo>,
    ) -> Result<Record<Photo>, BookError> {
        let first = self.get(original)?;
        let copy = self.add_photo(kept, first.of, first.caption.clone())?;
        let photos = in_order(&self.tx, first.of)?;
        let after = photos.iter().position(|photo| photo.id == original);
        if let Some(after) = after {
            self.place_photo(copy.id, after + 1)?;
        }
        self.change(copy.id, |copy| {
            copy.taken_at = first.taken_at;
            copy.original = Some(original);
        })
    }

    /// Gives a picture another caption.
    ///
    /// # Errors
    /// As [`Act::change`].
    pub fn caption_photo(
        &mut self,
        id: Id<Photo>,
        caption: impl Into<String>,
    ) -> Result<Record<Photo>, BookError> {
        let caption = caption.into();
        self.change(id, |photo| photo.caption = caption)
    }

    /// Moves a picture to a place, from 0, among those of the same record that are in use; the
    /// last place when there are not so many.
    ///
    /// # Errors
    /// As [`Act::change`].
    pub fn place_photo(&mut self, id: Id<Photo>, place: usize) -> Result<(), BookError> {
        let moved = self.get(id)?;
        let mut photos = in_order(&self.tx, moved.of)?;
        photos.retain(|photo| photo.id != id);
        if moved.set_aside.is_none() {
            photos.insert(place.min(photos.len()), moved);
        }
        for (order, photo) in (0_u32..).zip(photos) {
            if photo.order != order {
                self.change(photo.id, |photo| photo.order = order)?;
            }
        }
        Ok(())
    }
}
