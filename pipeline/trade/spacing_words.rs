//! Wordings that announce a spacing of holes, folded, with the distance each of them means.
//!
//! "Hole distance" and its translations are used for the chord and for the bolt circle alike,
//! so they mean either; "centre to centre" is always the chord.

use super::wording::Piece;
use rustc_hash::FxHashMap;
use std::sync::LazyLock;

/// What a wording says about the figure beside it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Wording {
    /// The diameter of the bolt circle.
    Circle,
    /// From centre to centre of neighbouring holes.
    Chord,
    /// One of the two.
    Either,
    /// From edge to edge of neighbouring holes.
    Edges,
}

use Wording::{Chord, Circle, Edges, Either};

/// Signs between the words of a phrase do not matter: `P.C.D.`, `c-c`, `centre-to-centre`.
/// Common practice of listings, no source.
static PHRASES: &[(&str, Wording)] = &[
    ("pcd", Circle),
    ("p c d", Circle),
    ("bcd", Circle),
    ("b c d", Circle),
    ("bolt circle", Circle),
    ("bolt hole circle", Circle),
    ("hole circle", Circle),
    ("pitch circle", Circle),
    ("circle", Circle),
    ("lochkreis", Circle),
    ("lochkreisdurchmesser", Circle),
    ("teilkreis", Circle),
    ("teilkreisdurchmesser", Circle),
    ("cercle de percage", Circle),
    ("cercle de fixation", Circle),
    ("diametre de percage", Circle),
    ("circulo de agujeros", Circle),
    ("circulo de pernos", Circle),
    ("circulo de tornillos", Circle),
    ("diametro primitivo", Circle),
    ("cerchio fori", Circle),
    ("cerchio di foratura", Circle),
    ("circonferenza fori", Circle),
    ("steekcirkel", Circle),
    ("gatencirkel", Circle),
    ("boutcirkel", Circle),
    ("okrag podzialowy", Circle),
    ("srednica podzialowa", Circle),
    ("srednica rozstawu", Circle),
    ("分布圆", Circle),
    ("节圆", Circle),
    ("centre to centre", Chord),
    ("center to center", Chord),
    ("centre to center", Chord),
    ("between centres", Chord),
    ("between centers", Chord),
    ("centre distance", Chord),
    ("center distance", Chord),
    ("on centre", Chord),
    ("on center", Chord),
    ("c c", Chord),
    ("c to c", Chord),
    ("ctc", Chord),
    ("between adjacent holes", Chord),
    ("between neighbouring holes", Chord),
    ("achsabstand", Chord),
    ("mittenabstand", Chord),
    ("lochmittenabstand", Chord),
    ("mitte mitte", Chord),
    ("entraxe", Chord),
    ("entraxes", Chord),
    ("entr'axe", Chord),
    ("entre axes", Chord),
    ("entre ejes", Chord),
    ("entre centros", Chord),
    ("interasse", Chord),
    ("hartafstand", Chord),
    ("hart op hart", Chord),
    ("h o h", Chord),
    ("hole distance", Either),
    ("hole spacing", Either),
    ("hole centers", Either),
    ("hole centres", Either),
    ("holes distance", Either),
    ("holes spacing", Either),
    ("bolt spacing", Either),
    ("bolt distance", Either),
    ("bolt pattern", Either),
    ("hole pattern", Either),
    ("screw spacing", Either),
    ("screw distance", Either),
    ("mounting distance", Either),
    ("mounting spacing", Either),
    ("hole to hole", Either),
    ("bolt to bolt", Either),
    ("between holes", Either),
    ("between bolts", Either),
    ("between screws", Either),
    ("between the holes", Either),
    ("between mounting holes", Either),
    ("between bolt holes", Either),
    ("lochabstand", Either),
    ("lochabstande", Either),
    ("bohrungsabstand", Either),
    ("bohrabstand", Either),
    ("schraubenabstand", Either),
    ("lochbild", Either),
    ("zwischen den lochern", Either),
    ("entre trous", Either),
    ("entre les trous", Either),
    ("entre agujeros", Either),
    ("entre taladros", Either),
    ("entre orificios", Either),
    ("tra i fori", Either),
    ("distanza fori", Either),
    ("gatafstand", Either),
    ("gatenafstand", Either),
    ("boutafstand", Either),
    ("rozstaw", Either),
    ("odleglosc otworow", Either),
    ("miedzy otworami", Either),
    ("apart", Either),
    ("abstand bohrungen", Either),
    ("abstand locher", Either),
    ("abstand der locher", Either),
    ("abstand der bohrungen", Either),
    ("distancia agujeros", Either),
    ("distancia de agujeros", Either),
    ("distancia taladros", Either),
    ("separacion taladros", Either),
    ("separacion agujeros", Either),
    ("separacion de taladros", Either),
    ("separacion de agujeros", Either),
    ("distance trous", Either),
    ("distance des trous", Either),
    ("ecartement trous", Either),
    ("ecartement des trous", Either),
    ("distanza dei fori", Either),
    ("passo fori", Either),
    ("steek", Either),
    ("afstand gaten", Either),
    ("afstand tussen gaten", Either),
    ("odstep otworow", Either),
    ("rozstaw otworow", Either),
    ("rozstaw srub", Either),
    ("roztec", Either),
    ("roztec otvoru", Either),
    ("ctr to ctr", Chord),
    ("edge to edge", Edges),
    ("bord a bord", Edges),
    ("kante zu kante", Edges),
    ("borde a borde", Edges),
    ("bordo a bordo", Edges),
    ("rand tot rand", Edges),
    ("od krawedzi do krawedzi", Edges),
    ("edge of hole to edge of hole", Edges),
    ("lk", Circle),
    ("l k", Circle),
    ("lochkreis durchm", Circle),
    ("teilkreis o", Circle),
    ("bolt hole diameter", Circle),
    ("pitch circle dia", Circle),
    ("b c", Circle),
    ("cercle de boulonnage", Circle),
    ("cercle percage", Circle),
    ("cercle des trous", Circle),
    ("diametre percage", Circle),
    ("diametre de fixation", Circle),
    ("diametre fixation", Circle),
    ("circulo de taladros", Circle),
    ("circulo taladros", Circle),
    ("circulo de fijacion", Circle),
    ("circunferencia de pernos", Circle),
    ("circunferencia de taladros", Circle),
    ("circunferencia de agujeros", Circle),
    ("diametro de taladros", Circle),
    ("diametro entre taladros", Circle),
    ("diametro de anclaje", Circle),
    ("diametro fori", Circle),
    ("diametro di foratura", Circle),
    ("diametro interasse", Circle),
    ("circonferenza di foratura", Circle),
    ("circonferenza", Circle),
    ("cerchio di fissaggio", Circle),
    ("gatcirkel", Circle),
    ("schroefcirkel", Circle),
    ("sr podz", Circle),
    ("srednica podzialu", Circle),
    ("srednica okregu", Circle),
    ("okrag otworow", Circle),
    ("srednica rozmieszczenia otworow", Circle),
    ("roztecna kruznice", Circle),
    ("roztecny prumer", Circle),
    ("prumer roztecne kruznice", Circle),
    ("halcirkel", Circle),
    ("delningscirkel", Circle),
    ("delningsdiameter", Circle),
    ("bultcirkel", Circle),
    ("hulcirkel", Circle),
    ("delecirkel", Circle),
    ("boltcirkel", Circle),
    ("circulo de furos", Circle),
    ("circulo dos furos", Circle),
    ("circulo de furacao", Circle),
    ("diametro dos furos", Circle),
    ("diametro de furacao", Circle),
    ("diametro da furacao", Circle),
    ("диаметр окружности", Circle),
    ("окружность отверстии", Circle),
    ("диаметр расположения отверстии", Circle),
    ("делительная окружность", Circle),
    ("lyukkor", Circle),
    ("osztokor", Circle),
    ("reikaympyra", Circle),
    ("分度圆", Circle),
    ("分布圆直径", Circle),
    ("分度圆直径", Circle),
    ("lochmitte lochmitte", Chord),
    ("lochmitte zu lochmitte", Chord),
    ("mitte zu mitte", Chord),
    ("centrumavstand", Chord),
    ("centeravstand", Chord),
    ("centerafstand", Chord),
    ("entre eixos", Chord),
    ("entre furos centro", Chord),
    ("межосевое", Chord),
    ("межосевое расстояние", Chord),
    ("межцентровое", Chord),
    ("межцентровое расстояние", Chord),
    ("o c to c", Chord),
    ("hole ctr to ctr", Chord),
    ("z centru na centrum", Chord),
    ("osova vzdalenost", Chord),
    ("eksen araligi", Chord),
    ("中心距", Chord),
    ("孔心距", Chord),
    ("fixing centres", Either),
    ("fixing centers", Either),
    ("mounting centres", Either),
    ("mounting centers", Either),
    ("bolt centres", Either),
    ("bolt centers", Either),
    ("hole ctrs", Either),
    ("hole ctr", Either),
    ("holes apart", Either),
    ("stud spacing", Either),
    ("lochmass", Either),
    ("loch abstand", Either),
    ("zwischen den bohrungen", Either),
    ("abstand zwischen", Either),
    ("ecart entre trous", Either),
    ("espacement des trous", Either),
    ("espacement trous", Either),
    ("distance entre", Either),
    ("distancia entre", Either),
    ("separacion", Either),
    ("distanza tra", Either),
    ("distanza viti", Either),
    ("distanza tra fori", Either),
    ("afstand bouten", Either),
    ("afstand tussen", Either),
    ("gaten afstand", Either),
    ("steekmaat", Either),
    ("odleglosc srub", Either),
    ("odleglosc miedzy", Either),
    ("rozstaw mocowania", Either),
    ("roztec der", Either),
    ("vzdalenost otvoru", Either),
    ("vzdalenost der", Either),
    ("mezi otvory", Either),
    ("mezi dirami", Either),
    ("halavstand", Either),
    ("bultavstand", Either),
    ("mellan hal", Either),
    ("mellan halen", Either),
    ("hulafstand", Either),
    ("boltafstand", Either),
    ("mellem huller", Either),
    ("mellem hullerne", Either),
    ("entre furos", Either),
    ("distancia furos", Either),
    ("distancia dos furos", Either),
    ("furacao", Either),
    ("расстояние между отверстиями", Either),
    ("между отверстиями", Either),
    ("расстояние отверстии", Either),
    ("furattavolsag", Either),
    ("lyuktavolsag", Either),
    ("reikavali", Either),
    ("reikajako", Either),
    ("distanta intre gauri", Either),
    ("distanta gauri", Either),
    ("delik araligi", Either),
    ("孔间距", Either),
    ("安装孔距", Either),
    ("o percage", Circle),
    ("o de percage", Circle),
    ("o fixation", Circle),
    ("o taladros", Circle),
    ("o entre taladros", Circle),
    ("o fori", Circle),
    ("o interasse", Circle),
    ("o interasse fori", Circle),
    ("o foratura", Circle),
    ("o furos", Circle),
    ("o otworow", Circle),
    ("o bohrungen", Circle),
    ("o lochkreis", Circle),
    ("o loch", Circle),
    ("o taladro", Circle),
    ("孔距", Either),
];

type Phrase = (Vec<&'static str>, Wording);

/// Phrases by their first word, longest first.
static BY_FIRST_WORD: LazyLock<FxHashMap<&'static str, Vec<Phrase>>> = LazyLock::new(|| {
    let mut by_first: FxHashMap<&'static str, Vec<Phrase>> = FxHashMap::default();
    for (phrase, wording) in PHRASES.iter().copied() {
        let words: Vec<&'static str> = phrase.split([' ', '\'']).collect();
        by_first.entry(words[0]).or_default().push((words, wording));
    }
    #[expect(clippy::iter_over_hash_type, reason = "each list is sorted in itself")]
    for phrases in by_first.values_mut() {
        phrases.sort_by_key(|(words, _)| std::cmp::Reverse(words.len()));
    }
    by_first
});

/// The wording that begins at piece `at`, and the piece behind it.
pub fn wording_at(pieces: &[Piece<'_>], at: usize) -> Option<(Wording, usize)> {
    let word = pieces[at].word()?;
    let Some(phrases) = BY_FIRST_WORD.get(word) else {
        // Scripts without spaces: the phrase may stand inside a longer run.
        return inside_run(word).map(|wording| (wording, at + 1));
    };
    phrases
        .iter()
        .find_map(|(words, wording)| phrase_end(pieces, at, words).map(|end| (*wording, end)))
}

/// A wording inside a run of a script without spaces.
fn inside_run(word: &str) -> Option<Wording> {
    const RUNS: [(&str, Wording); 6] = [
        ("分布圆", Circle),
        ("分度圆", Circle),
        ("中心距", Chord),
        ("孔心距", Chord),
        ("孔距", Either),
        ("孔间距", Either),
    ];
    let stands = |run: &str| !word.is_ascii() && word.contains(run);
    RUNS.iter().find(|(run, _)| stands(run)).map(|(_, wording)| *wording)
}

/// The piece behind a phrase whose words stand in order, with nothing but `-`, `.`, `/` or `'`
/// between them. A lone letter pair such as `c c` needs such a sign.
fn phrase_end(pieces: &[Piece<'_>], at: usize, words: &[&str]) -> Option<usize> {
    let mut next = at;
    let mut signs = 0;
    for (place, word) in words.iter().enumerate() {
        while place > 0
            && ['-', '.', '/', '\'']
                .iter()
                .any(|sign| pieces.get(next).is_some_and(|p| p.is_sign(*sign)))
        {
            next += 1;
            signs += 1;
        }
        if pieces.get(next)?.word() != Some(*word) {
            return None;
        }
        next += 1;
    }
    let letters_only = words.len() > 1 && words.iter().all(|word| word.len() == 1);
    if letters_only && signs == 0 {
        return None;
    }
    let dotted = signs > 0 && pieces.get(next).is_some_and(|piece| piece.glued && piece.is_sign('.'));
    Some(if dotted { next + 1 } else { next })
}
