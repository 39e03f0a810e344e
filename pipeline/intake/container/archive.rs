//! Members of a zip archive, as streams of their own.

use std::fs::File;
use std::io::{self, Read};
use std::path::Path;

use flate2::Crc;
use flate2::read::DeflateDecoder;
use zip::{CompressionMethod, ZipArchive};

/// Members beyond this number are refused with the archive, since no supplier sends that many lists.
const MOST_MEMBERS: usize = 1_000;

/// Where one member lies in the archive and how it is packed.
#[derive(Clone, Debug)]
pub(crate) struct Member {
    pub(crate) name: String,
    pub(crate) start: u64,
    pub(crate) packed: u64,
    deflated: bool,
    checksum: u32,
}

impl Member {
    /// Unpacks from a file that stands at the member's start.
    pub(super) fn unpack(&self, file: File) -> Box<dyn Read + Send> {
        let packed = file.take(self.packed);
        let inner: Box<dyn Read + Send> = if self.deflated {
            Box::new(DeflateDecoder::new(packed))
        } else {
            Box::new(packed)
        };
        Box::new(Checked {
            inner,
            sum: Crc::new(),
            expected: self.checksum,
        })
    }
}

/// What an archive holds.
pub(crate) enum Contents {
    Workbook,
    Lists(Vec<Member>),
}

/// The members of an archive in the order of their names. Folders and hidden files are left out.
pub(crate) fn members(path: &Path) -> Result<Contents, String> {
    let file = File::open(path).map_err(|error| error.to_string())?;
    let mut archive = ZipArchive::new(file).map_err(|error| error.to_string())?;
    if archive.index_for_name("[Content_Types].xml").is_some() && archive.index_for_name("xl/workbook.xml").is_some() {
        return Ok(Contents::Workbook);
    }
    if archive.len() > MOST_MEMBERS {
        return Err(format!("{} members, the most is {MOST_MEMBERS}", archive.len()));
    }
    let mut found = Vec::new();
    for index in 0..archive.len() {
        let entry = archive.by_index_raw(index).map_err(|error| error.to_string())?;
        let name = entry.name().map_err(|error| error.to_string())?.replace('\\', "/");
        let last = name.rsplit('/').next().unwrap_or_default();
        if entry.is_dir() || last.starts_with('.') || name.starts_with("__MACOSX/") {
            continue;
        }
        if entry.encrypted() {
            return Err(format!("member `{name}` is encrypted"));
        }
        let deflated = match entry.compression() {
            CompressionMethod::Stored => false,
            CompressionMethod::Deflated => true,
            other => return Err(format!("member `{name}` is packed by {other}, which is not read here")),
        };
        let start = entry
            .data_start()
            .ok_or_else(|| format!("member `{name}` has no place in the file"))?;
        found.push(Member {
            start,
            packed: entry.compressed_size(),
            deflated,
            checksum: entry.crc32(),
            name,
        });
    }
    found.sort_by(|a, b| a.name.cmp(&b.name));
    Ok(Contents::Lists(found))
}

/// Whether everything in an archive unpacks to no more than `most` bytes, found by unpacking it into nothing: the sizes
/// an archive states of itself are only claims.
pub(crate) fn unpacked_within(path: &Path, most: u64) -> Result<bool, String> {
    let file = File::open(path).map_err(|error| error.to_string())?;
    let mut archive = ZipArchive::new(file).map_err(|error| error.to_string())?;
    let mut total = 0u64;
    for index in 0..archive.len() {
        let entry = archive.by_index(index).map_err(|error| error.to_string())?;
        let left = most.saturating_sub(total);
        let count = io::copy(&mut entry.take(left + 1), &mut io::sink()).map_err(|error| error.to_string())?;
        total += count;
        if total > most {
            return Ok(false);
        }
    }
    Ok(true)
}

/// Compares the checksum at the end.
struct Checked {
    inner: Box<dyn Read + Send>,
    sum: Crc,
    expected: u32,
}

impl Read for Checked {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let count = self.inner.read(buffer)?;
        self.sum.update(&buffer[..count]);
        if count == 0 && !buffer.is_empty() && self.sum.sum() != self.expected {
            return Err(io::Error::new(
                io::ErrorKind::InvalidData,
                "the checksum of the archive's member is wrong",
            ));
        }
        Ok(count)
    }
}
