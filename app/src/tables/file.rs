//! One table as a Parquet file, written row group by row group.

use std::fs::File;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use anyhow::{Context as _, bail};
use chrono::{Datelike as _, NaiveDate};
use parquet::basic::{Compression, LogicalType, Repetition, TimeUnit, Type as Physical};
use parquet::data_type::{
    BoolType, ByteArray, ByteArrayType, DataType, DoubleType, Int32Type, Int64Type,
};
use parquet::file::properties::WriterProperties;
use parquet::file::writer::SerializedFileWriter;
use parquet::schema::types::Type;
use tautbook_core::survey::Moment;

/// Rows held in memory before they are written.
const ROWS_A_GROUP: usize = 10_000;

/// A column: its name, which ends in the unit of its numbers, and what a row has in it.
pub(super) struct Column<R> {
    name: &'static str,
    value: Value<R>,
}

/// What a row has in a column, by its kind; nothing is a null.
enum Value<R> {
    Text(fn(&R) -> Option<String>),
    Number(fn(&R) -> Option<f64>),
    Whole(fn(&R) -> Option<i64>),
    YesNo(fn(&R) -> Option<bool>),
    Time(fn(&R) -> Option<Moment>),
    Day(fn(&R) -> Option<NaiveDate>),
}

/// Text, empty text being none.
pub(super) fn text<R>(name: &'static str, value: fn(&R) -> Option<String>) -> Column<R> {
    let value = Value::Text(value);
    Column { name, value }
}

/// A number; one that is not finite is none.
pub(super) fn number<R>(name: &'static str, value: fn(&R) -> Option<f64>) -> Column<R> {
    let value = Value::Number(value);
    Column { name, value }
}

/// A count.
pub(super) fn whole<R>(name: &'static str, value: fn(&R) -> Option<i64>) -> Column<R> {
    let value = Value::Whole(value);
    Column { name, value }
}

/// Yes or no.
pub(super) fn yes_no<R>(name: &'static str, value: fn(&R) -> Option<bool>) -> Column<R> {
    let value = Value::YesNo(value);
    Column { name, value }
}

/// An instant, in milliseconds of UTC.
pub(super) fn time<R>(name: &'static str, value: fn(&R) -> Option<Moment>) -> Column<R> {
    let value = Value::Time(value);
    Column { name, value }
}

/// A day.
pub(super) fn day<R>(name: &'static str, value: fn(&R) -> Option<NaiveDate>) -> Column<R> {
    let value = Value::Day(value);
    Column { name, value }
}

/// Values of a column under way: those that are there, and for each row whether it has one.
struct Run<T> {
    values: Vec<T>,
    there: Vec<i16>,
}

impl<T> Default for Run<T> {
    fn default() -> Self {
        let (values, there) = (Vec::new(), Vec::new());
        Self { values, there }
    }
}

impl<T> Run<T> {
    fn push(&mut self, value: Option<T>) {
        self.there.push(i16::from(value.is_some()));
        self.values.extend(value);
    }
}

/// The values of one column since the last row group.
enum Buffer {
    Text(Run<ByteArray>),
    Number(Run<f64>),
    Whole(Run<i64>),
    YesNo(Run<bool>),
    Time(Run<i64>),
    Day(Run<i32>),
}

impl<R> Value<R> {
    fn buffer(&self) -> Buffer {
        match self {
            Self::Text(_) => Buffer::Text(Run::default()),
            Self::Number(_) => Buffer::Number(Run::default()),
            Self::Whole(_) => Buffer::Whole(Run::default()),
            Self::YesNo(_) => Buffer::YesNo(Run::default()),
            Self::Time(_) => Buffer::Time(Run::default()),
            Self::Day(_) => Buffer::Day(Run::default()),
        }
    }

    /// The column in the file's schema.
    fn form(&self, name: &str) -> anyhow::Result<Type> {
        let (physical, logical) = match self {
            Self::Text(_) => (Physical::BYTE_ARRAY, Some(LogicalType::String)),
            Self::Number(_) => (Physical::DOUBLE, None),
            Self::Whole(_) => (Physical::INT64, None),
            Self::YesNo(_) => (Physical::BOOLEAN, None),
            Self::Time(_) => {
                let utc = LogicalType::timestamp(true, TimeUnit::MILLIS);
                (Physical::INT64, Some(utc))
            }
            Self::Day(_) => (Physical::INT32, Some(LogicalType::Date)),
        };
        Ok(Type::primitive_type_builder(name, physical)
            .with_repetition(Repetition::OPTIONAL)
            .with_logical_type(logical)
            .build()?)
    }

    fn push(&self, row: &R, to: &mut Buffer) -> anyhow::Result<()> {
        match (self, to) {
            (Self::Text(value), Buffer::Text(run)) => {
                let text = value(row).filter(|text| !text.is_empty());
                run.push(text.map(|text| ByteArray::from(text.into_bytes())));
            }
            (Self::Number(value), Buffer::Number(run)) => {
                run.push(value(row).filter(|number| number.is_finite()));
            }
            (Self::Whole(value), Buffer::Whole(run)) => run.push(value(row)),
            (Self::YesNo(value), Buffer::YesNo(run)) => run.push(value(row)),
            (Self::Time(value), Buffer::Time(run)) => run.push(value(row).map(Moment::unix_ms)),
            (Self::Day(value), Buffer::Day(run)) => {
                // Days since 1970-01-01.
                let epoch = chrono::DateTime::UNIX_EPOCH.date_naive().num_days_from_ce();
                run.push(value(row).map(|day| day.num_days_from_ce() - epoch));
            }
            _ => bail!("a value came to a column of another kind"),
        }
        Ok(())
    }
}

/// A table on its way to its file. It has its name only once it is given one.
pub(super) struct TableFile {
    name: &'static str,
    part: PathBuf,
    writer: SerializedFileWriter<File>,
    buffers: Vec<Buffer>,
    waiting: usize,
    rows: u64,
}

/// A table that is whole and on the disk, under the name it had while it was written.
pub(super) struct Written {
    pub(super) part: PathBuf,
    pub(super) path: PathBuf,
    pub(super) rows: u64,
}

impl TableFile {
    /// Begins `FOLDER/NAME.parquet` under another name.
    pub(super) fn begin<R>(
        folder: &Path,
        name: &'static str,
        columns: &[Column<R>],
    ) -> anyhow::Result<Self> {
        let part = folder.join(format!(".{name}.parquet.part"));
        let file = File::create(&part)
            .with_context(|| format!("{} could not be written", part.display()))?;
        let fields = columns
            .iter()
            .map(|column| Ok(Arc::new(column.value.form(column.name)?)))
            .collect::<anyhow::Result<Vec<_>>>()?;
        let schema = Type::group_type_builder(name).with_fields(fields).build()?;
        let properties = WriterProperties::builder()
            .set_created_by(format!("Tautbook {}", env!("CARGO_PKG_VERSION")))
            .set_compression(Compression::SNAPPY)
            .build();
        Ok(Self {
            name,
            writer: SerializedFileWriter::new(file, Arc::new(schema), Arc::new(properties))?,
            buffers: columns.iter().map(|column| column.value.buffer()).collect(),
            part,
            waiting: 0,
            rows: 0,
        })
    }

    /// Adds a row; `columns` are those it was begun with.
    pub(super) fn row<R>(&mut self, columns: &[Column<R>], row: &R) -> anyhow::Result<()> {
        for (column, buffer) in columns.iter().zip(&mut self.buffers) {
            column.value.push(row, buffer)?;
        }
        self.waiting += 1;
        self.rows += 1;
        if self.waiting >= ROWS_A_GROUP {
            self.write_group()?;
        }
        Ok(())
    }

    fn write_group(&mut self) -> anyhow::Result<()> {
        fn put<T: DataType>(
            writer: &mut parquet::file::writer::SerializedColumnWriter<'_>,
            run: &mut Run<T::T>,
        ) -> anyhow::Result<()> {
            let there = Some(run.there.as_slice());
            writer.typed::<T>().write_batch(&run.values, there, None)?;
            *run = Run::default();
            Ok(())
        }
        let mut group = self.writer.next_row_group()?;
        for buffer in &mut self.buffers {
            let mut column = group.next_column()?.context("a column is missing")?;
            match buffer {
                Buffer::Text(run) => put::<ByteArrayType>(&mut column, run)?,
                Buffer::Number(run) => put::<DoubleType>(&mut column, run)?,
                Buffer::Whole(run) | Buffer::Time(run) => put::<Int64Type>(&mut column, run)?,
                Buffer::YesNo(run) => put::<BoolType>(&mut column, run)?,
                Buffer::Day(run) => put::<Int32Type>(&mut column, run)?,
            }
            column.close()?;
        }
        group.close()?;
        self.waiting = 0;
        Ok(())
    }

    /// Brings it to the disk.
    pub(super) fn finish(mut self) -> anyhow::Result<Written> {
        if self.waiting > 0 {
            self.write_group()?;
        }
        self.writer.into_inner()?.sync_all()?;
        Ok(Written {
            path: self.part.with_file_name(format!("{}.parquet", self.name)),
            part: self.part,
            rows: self.rows,
        })
    }
}
