//! The page's data as packed blocks: JSON, deflated (zlib, RFC 1950), in base64.
//!
//! A *block* lies in the page as text in a `script` element that browsers do not run; the page's own
//! script inflates it when it is needed. Packed, a run of 100,000 offers stays a file that can be sent
//! by mail, opens before anything is inflated, and holds no letter of a supplier that markup could be
//! made of. Same rows, same blocks: the level is fixed and the blocks go out in their order.

use std::io::Write as _;

use flate2::Compression;
use flate2::write::ZlibEncoder;
use maud::{Markup, html};
use rayon::prelude::*;
use serde::Serialize;

use super::offers::{self, OFFERS_PER_BLOCK};
use super::overview::Overview;
use super::view::GroupView;
use crate::publish::policy::base64;
use crate::publish::tables::CrossrefRow;

/// Beyond this level the file shrinks by a hundredth and takes twice as long.
const LEVEL: u32 = 6;

/// Every block of the page.
pub fn blocks(views: &[GroupView<'_>], currency: &str) -> Result<Markup, serde_json::Error> {
    let carried: Vec<&CrossrefRow> = views.iter().flat_map(GroupView::carried_offers).collect();
    let overview = Overview::of(views, &carried, currency);
    let packed_offers: Vec<_> = carried
        .par_chunks(OFFERS_PER_BLOCK)
        .map(|offers| {
            Ok((
                packed(&offers::columns(offers, &overview))?,
                packed(&offers::evidence(offers))?,
            ))
        })
        .collect::<Result<_, serde_json::Error>>()?;
    let overview = packed(&overview)?;
    Ok(html! {
        (block("overview", &overview))
        @for (at, (columns, evidence)) in packed_offers.iter().enumerate() {
            (block(&format!("offers-{at}"), columns))
            (block(&format!("evidence-{at}"), evidence))
        }
    })
}

/// Base64 has no letter that means anything in markup.
fn block(id: &str, packed: &str) -> Markup {
    html! { script type="text/plain" id=(id) { (packed) } }
}

fn packed(value: &impl Serialize) -> Result<String, serde_json::Error> {
    let json = serde_json::to_vec(value)?;
    let mut encoder = ZlibEncoder::new(Vec::with_capacity(json.len() / 4), Compression::new(LEVEL));
    encoder.write_all(&json).map_err(serde_json::Error::io)?;
    Ok(base64(&encoder.finish().map_err(serde_json::Error::io)?))
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::io::Read as _;

    #[test]
    fn a_block_comes_back_and_holds_no_markup() {
        let hostile = vec!["</script><img src=x onerror=alert(1)>"; 40];
        let text = packed(&hostile).unwrap();
        assert!(
            text.bytes()
                .all(|letter| letter.is_ascii_alphanumeric() || b"+/=".contains(&letter))
        );
        let mut json = String::new();
        let bytes = unbase64(&text);
        flate2::read::ZlibDecoder::new(&bytes[..])
            .read_to_string(&mut json)
            .unwrap();
        assert_eq!(serde_json::from_str::<Vec<String>>(&json).unwrap(), hostile);
    }

    fn unbase64(text: &str) -> Vec<u8> {
        let value = |letter: u8| match letter {
            b'A'..=b'Z' => letter - b'A',
            b'a'..=b'z' => letter - b'a' + 26,
            b'0'..=b'9' => letter - b'0' + 52,
            b'+' => 62,
            _ => 63,
        };
        let letters: Vec<u8> = text.bytes().filter(|letter| *letter != b'=').map(value).collect();
        let bits =
            |four: &[u8]| four.iter().fold(0u32, |bits, six| bits << 6 | u32::from(*six)) << (6 * (4 - four.len()));
        letters
            .chunks(4)
            .flat_map(|four| bits(four).to_be_bytes()[1..four.len()].to_vec())
            .collect()
    }
}
