//! One 3MF file of all parts (3MF Core Specification 1.2: names and structure from memory, held by
//! the consortium's reader in strict mode).
//!
//! Guaranteed: unit millimetre, one mesh for equal solids, one named object a part, the same bytes
//! for the same parts, streamed. Not guaranteed: sound meshes; they are inspected before.

use super::words::NOT_FOR_CUTTING;
use super::xml::escape;
use std::fmt::Write as _;
use std::io::{self, Seek, Write};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipWriter};

const TYPES: &str = r#"<?xml version="1.0" encoding="UTF-8"?>
<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/></Types>
"#;
const RELATIONS: &str = r#"<?xml version="1.0" encoding="UTF-8"?>
<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Target="/3D/3dmodel.model" Id="rel0" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>
"#;
/// Number of the material in the file.
const MATERIAL: usize = 1;

/// What stands in the file about the whole.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct About {
    /// Name of the creature.
    pub title: String,
    /// Wood.
    pub material: String,
    /// Who made it.
    pub author: Option<String>,
    /// Terms of use.
    pub licence: Option<String>,
    /// Text for people.
    pub description: String,
    /// Not for cutting.
    pub bench_only: bool,
}

/// One part on the plate.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    /// Its name.
    pub name: String,
    /// Number of the mesh, from 0, in the order they were added.
    pub mesh: usize,
    /// Shift from the mesh's own frame.
    pub shift: [f64; 3],
}

/// The file as it grows.
#[derive(Debug)]
pub struct ThreeMf<W: Write + Seek> {
    zip: ZipWriter<W>,
    meshes: usize,
}

/// The mesh as the format's text: float32 positions in mm as in STL.
pub fn mesh_text(positions: &[[f32; 3]], triangles: &[[u32; 3]]) -> String {
    let mut text = String::with_capacity(48 * positions.len() + 40 * triangles.len() + 64);
    text.push_str("<mesh><vertices>\n");
    for [x, y, z] in positions {
        // Both zeros are one; writing into a String cannot fail.
        let (x, y, z) = (x + 0.0, y + 0.0, z + 0.0);
        let _ = writeln!(text, r#"<vertex x="{x}" y="{y}" z="{z}"/>"#);
    }
    text.push_str("</vertices><triangles>\n");
    for [a, b, c] in triangles {
        let _ = writeln!(text, r#"<triangle v1="{a}" v2="{b}" v3="{c}"/>"#);
    }
    text.push_str("</triangles></mesh>");
    text
}

/// How hard the text is packed: a file 6 % larger than the usual 6 makes, in a third of its time.
const LEVEL: i64 = 4;

impl<W: Write + Seek> ThreeMf<W> {
    /// Begins a file.
    ///
    /// # Errors
    /// Those of `out`, as for all that follows.
    pub fn begin(out: W, about: &About) -> io::Result<Self> {
        let mut zip = ZipWriter::new(out);
        // No clock: the format's first day.
        let options = SimpleFileOptions::default()
            .compression_method(CompressionMethod::Deflated)
            .compression_level(Some(LEVEL))
            .last_modified_time(zip::DateTime::default());
        for (name, text) in [
            ("[Content_Types].xml", TYPES),
            ("_rels/.rels", RELATIONS),
            ("3D/3dmodel.model", &start(about)),
        ] {
            zip.start_file(name, options)?;
            zip.write_all(text.as_bytes())?;
        }
        Ok(ThreeMf { zip, meshes: 0 })
    }

    /// Adds the next mesh, as [`mesh_text`] gives it.
    ///
    /// # Errors
    /// Those of the writer.
    pub fn add(&mut self, name: &str, mesh: &str) -> io::Result<()> {
        let id = object(self.meshes);
        self.meshes += 1;
        let name = escape(name);
        writeln!(
            self.zip,
            r#"<object id="{id}" type="model" name="{name}" pid="{MATERIAL}" pindex="0">{mesh}</object>"#
        )
    }

    /// Adds a named object for each part and closes the file.
    ///
    /// # Errors
    /// Those of the writer.
    pub fn end(mut self, items: &[Item]) -> io::Result<W> {
        let mut text = String::new();
        let mut build = String::new();
        for (i, item) in items.iter().enumerate() {
            let (id, mesh, name) = (
                object(self.meshes + i),
                object(item.mesh),
                escape(&item.name),
            );
            let _ = writeln!(
                text,
                r#"<object id="{id}" type="model" name="{name}"><components><component objectid="{mesh}"/></components></object>"#
            );
            let [x, y, z] = item.shift;
            let _ = writeln!(
                build,
                r#"<item objectid="{id}" partnumber="{name}" transform="1 0 0 0 1 0 0 0 1 {x} {y} {z}"/>"#
            );
        }
        let _ = write!(text, "</resources><build>\n{build}</build></model>\n");
        self.zip.write_all(text.as_bytes())?;
        Ok(self.zip.finish()?)
    }
}

/// Number of an object in the file.
fn object(index: usize) -> usize {
    MATERIAL + 1 + index
}

fn start(about: &About) -> String {
    let mut text = String::from(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<model unit=\"millimeter\" xml:lang=\"en\" \
         xmlns=\"http://schemas.microsoft.com/3dmanufacturing/core/2015/02\">\n",
    );
    let program = concat!(env!("CARGO_PKG_NAME"), " ", env!("CARGO_PKG_VERSION"));
    let description = match about.bench_only {
        true => format!("{NOT_FOR_CUTTING}. {}", about.description),
        false => about.description.clone(),
    };
    let told = [
        ("Title", Some(about.title.as_str())),
        ("Designer", about.author.as_deref()),
        ("LicenseTerms", about.licence.as_deref()),
        ("Description", Some(description.as_str())),
        ("Application", Some(program)),
    ];
    for (name, value) in told {
        if let Some(value) = value {
            let _ = writeln!(
                text,
                r#"<metadata name="{name}">{}</metadata>"#,
                escape(value)
            );
        }
    }
    let _ = writeln!(
        text,
        r##"<resources><basematerials id="{MATERIAL}"><base name="{}" displaycolor="#CC9E6B"/></basematerials>"##,
        escape(&about.material)
    );
    text
}
