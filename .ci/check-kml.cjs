// Holds a KML file against the types of OGC KML 2.2 as the npm package ogc-schemas has them (a mapping generated from the
// standard's XSD, in the order of its sequences): node check-kml.cjs FILE NPM_DIR. Unknown elements, elements out of order,
// elements too many and simple values of another type are errors.
const fs = require("fs");
const path = require("path");
const [file, npm] = process.argv.slice(2);
const { DOMParser } = require(path.join(npm, "node_modules/@xmldom/xmldom"));
const { KML_2_2_0: kml } = require(path.join(npm, "node_modules/ogc-schemas/lib/KML_2_2_0.js"));

const types = new Map(kml.tis.map(t => [t.ln, t]));
const elements = new Map(kml.eis.map(e => [e.en.lp || e.en, e]));
const simple = { Boolean: /^(0|1|true|false)$/, Double: /^-?\d+(\.\d+)?([eE]-?\d+)?$/, HexBinary: /^([0-9a-fA-F]{2})+$/ };
const tuple = /^-?\d+(\.\d+)?,-?\d+(\.\d+)?(,-?\d+(\.\d+)?)?$/;
const errors = [];
let seen = 0;

function properties(type) {
  const base = type.bti && type.bti.startsWith(".") ? properties(types.get(type.bti.slice(1))) : [];
  return base.concat((type.ps || []).filter(p => p.t !== "a"));
}

function stands(name, head) {
  for (let e = elements.get(name); e; e = e.sh && elements.get(e.sh.lp || e.sh)) {
    if ((e.en.lp || e.en) === head || e.sh === head) return true;
  }
  return name === head;
}

function check(node, typeName, where) {
  seen++;
  const type = types.get(typeName);
  if (!type) { errors.push(`${where}: no type ${typeName}`); return; }
  if (type.t === "enum") return;
  const all = properties(type);
  let at = 0, last = -1;
  for (let child = node.firstChild; child; child = child.nextSibling) {
    if (child.nodeType !== 1) continue;
    const name = child.localName, here = `${where}/${name}`;
    if (child.namespaceURI !== "http://www.opengis.net/kml/2.2") { errors.push(`${here}: namespace ${child.namespaceURI}`); continue; }
    const from = last >= 0 && all[last].col ? last : last + 1;
    at = all.findIndex((p, i) => i >= from && stands(name, p.en ? p.en.lp || p.en : p.n));
    if (at < 0) { errors.push(`${here}: not allowed here`); continue; }
    last = at;
    const own = elements.get(name), inner = own && own.ti || all[at].ti;
    const text = child.textContent.trim();
    if (typeof inner === "string" && inner.startsWith(".")) check(child, inner.slice(1), here);
    else if (typeof inner === "string" && simple[inner] && !simple[inner].test(text)) errors.push(`${here}: "${text}" is no ${inner}`);
    else if (name === "coordinates" && !text.split(/\s+/).every(t => tuple.test(t))) errors.push(`${here}: not tuples`);
    else seen++;
  }
}

const root = new DOMParser().parseFromString(fs.readFileSync(file, "utf8"), "text/xml").documentElement;
if (root.localName !== "kml") errors.push("the root is " + root.localName);
check(root, elements.get("kml").ti.slice(1), "kml");
if (seen < 100) errors.push(`only ${seen} elements were looked at`);
console.log(errors.length ? errors.slice(0, 10).join("\n") : `${seen} elements keep to KML 2.2`);
process.exit(errors.length ? 1 : 0);
