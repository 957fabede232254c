// Holds SLD files against the types of OGC Styled Layer Descriptor 1.0.0 and Filter 1.0.0 as the npm package ogc-schemas has them (mappings
// generated from the standards' XSD, in the order of their sequences): node check-sld.cjs FOLDER NPM_DIR. Unknown elements, elements out of
// order, elements too many, attributes that are unknown or missing and simple values of another type are errors.
const fs = require("fs");
const path = require("path");
const [folder, npm] = process.argv.slice(2);
const { DOMParser } = require(path.join(npm, "node_modules/@xmldom/xmldom"));
const of = name => require(path.join(npm, `node_modules/ogc-schemas/lib/${name}.js`))[name];
const maps = { SLD_1_0_0: of("SLD_1_0_0"), Filter_1_0_0: of("Filter_1_0_0") };
const SLD = "http://www.opengis.net/sld", OGC = "http://www.opengis.net/ogc";
const mapOf = { [SLD]: "SLD_1_0_0", [OGC]: "Filter_1_0_0" };
const types = new Map(), elements = new Map();
for (const [name, map] of Object.entries(maps)) {
  for (const t of map.tis) types.set(`${name}.${t.ln}`, t);
  for (const e of map.eis) elements.set(`${name}:${e.en.lp || e.en}`, e);
}
const number = /^-?\d+(\.\d+)?([eE]-?\d+)?$/;
const errors = [];
let seen = 0;

const full = (ti, map) => (ti.startsWith(".") ? map + ti : ti);

function properties(typeName) {
  const type = types.get(typeName), map = typeName.split(".")[0];
  const base = type.bti ? properties(full(type.bti, map)) : [];
  return base.concat((type.ps || []).map(p => ({ ...p, map })));
}

// An element stands for the head of its group: LineSymbolizer for Symbolizer, PropertyName for expression.
function stands(name, map, head) {
  for (let e = elements.get(`${map}:${name}`), own = name; ; own = e.sh.lp || e.sh, e = elements.get(`${map}:${own}`)) {
    if (own === head) return true;
    if (!e || !e.sh) return false;
  }
}

const heads = p => (p.etis ? p.etis.map(e => e.en.lp || e.en) : p.t === "a" || p.t === "v" || p.t === "ae" ? [] : [p.en ? p.en.lp || p.en : p.n]);

function check(node, typeName, where) {
  seen++;
  const all = properties(typeName), map = typeName.split(".")[0];
  const attributes = all.filter(p => p.t === "a");
  for (const a of Array.from(node.attributes).filter(a => !a.name.startsWith("xmlns"))) if (!attributes.some(p => (p.an ? p.an.lp || p.an : p.n) === a.localName)) errors.push(`${where}: attribute ${a.name}`);
  for (const p of attributes.filter(p => p.rq)) if (!node.hasAttribute(p.an ? p.an.lp || p.an : p.n)) errors.push(`${where}: no attribute ${p.n}`);
  const places = all.filter(p => p.t !== "a" && p.t !== "v");
  let last = -1;
  for (let child = node.firstChild; child; child = child.nextSibling) {
    if (child.nodeType !== 1) continue;
    const name = child.localName, childMap = mapOf[child.namespaceURI], here = `${where}/${name}`;
    const own = childMap && elements.get(`${childMap}:${name}`);
    if (!own) { errors.push(`${here}: no such element`); continue; }
    const from = last >= 0 && places[last].col ? last : last + 1;
    const at = places.findIndex((p, i) => i >= from && (p.t === "ae" || heads(p).some(h => stands(name, childMap, h))));
    if (at < 0) { errors.push(`${here}: not allowed here`); continue; }
    last = at;
    const inner = own.ti;
    if (inner === "Double") { if (!number.test(child.textContent.trim())) errors.push(`${here}: "${child.textContent}" is no number`); seen++; }
    else if (inner && types.has(full(inner, childMap)) && !types.get(full(inner, childMap)).vs) check(child, full(inner, childMap), here);
    else seen++;
  }
}

const files = fs.readdirSync(folder).filter(f => f.endsWith(".sld"));
if (files.length === 0) errors.push(`no SLD in ${folder}`);
for (const file of files) {
  const root = new DOMParser().parseFromString(fs.readFileSync(path.join(folder, file), "utf8"), "text/xml").documentElement;
  if (root.localName !== "StyledLayerDescriptor" || root.namespaceURI !== SLD) errors.push(`${file}: the root is ${root.nodeName}`);
  else check(root, "SLD_1_0_0.StyledLayerDescriptor", file);
}
if (seen < 20 * files.length) errors.push(`only ${seen} elements were looked at`);
console.log(errors.length ? errors.slice(0, 20).join("\n") : `${seen} elements of ${files.length} styles keep to SLD 1.0.0`);
process.exit(errors.length ? 1 : 0);
