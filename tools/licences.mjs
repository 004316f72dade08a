// Prints the licences of every package that the program needs at run time, and fails on one that is not permissive.
// `node tools/licences.mjs --write` also writes docs/licences.md.
import { existsSync, readFileSync, writeFileSync } from 'node:fs';

// Licences that ask for no more than that their text and the copyright notice go along.
const PERMISSIVE = new Set([
  'MIT',
  'ISC',
  'Apache-2.0',
  'BSD-2-Clause',
  'BSD-3-Clause',
  '0BSD',
  'CC0-1.0',
  // The licence of Python 2: keep the notice, and say what was changed.
  'Python-2.0',
  'Unlicense',
  'Zlib',
]);
// Fonts: may be bundled and embedded with anything, but not sold by themselves; a changed font takes another name.
const FONTS = new Set(['OFL-1.1']);

/** Whether one term or an SPDX expression is permissive: every part of an AND, one part of an OR. */
function permissive(expression) {
  const text = expression.replace(/^\((.*)\)$/, '$1').trim();
  if (/[()]|\bWITH\b/.test(text)) return false;
  if (/\bOR\b/.test(text)) return text.split(/\bOR\b/).some(permissive);
  if (/\bAND\b/.test(text)) return text.split(/\bAND\b/).every(permissive);
  return PERMISSIVE.has(text) || FONTS.has(text);
}

// The judge is tried on terms with a known answer before it is believed.
for (const [term, right] of [
  ['MIT', true],
  ['(MIT OR GPL-3.0-only)', true],
  ['MIT AND Zlib', true],
  ['MIT AND GPL-3.0-only', false],
  ['GPL-3.0-only', false],
  ['AGPL-3.0-or-later', false],
  ['LGPL-2.1', false],
  ['SEE LICENSE IN LICENSE.md', false],
  ['unknown', false],
]) {
  if (permissive(term) !== right) throw new Error(`licences: '${term}' is judged wrongly`);
}

const lock = JSON.parse(readFileSync(new URL('../package-lock.json', import.meta.url), 'utf8'));
const wanted = Object.keys(lock.packages[''].dependencies ?? {});

/** What a package states of itself; for an optional one that is not installed here, what the lock file says of it. */
function statementOf(path, entry) {
  const file = new URL(`../${path}/package.json`, import.meta.url);
  if (!existsSync(file)) {
    if (entry.optional || entry.devOptional || entry.peer) return { version: entry.version, license: entry.license };
    throw new Error(`licences: ${path} is not installed; run npm ci`);
  }
  const statement = JSON.parse(readFileSync(file, 'utf8'));
  return (statement.license ?? statement.licenses) ? statement : { ...statement, license: licenceFile(path) };
}

/** The licence of a package that states none but brings the text of one; only texts that are known word for word. */
function licenceFile(path) {
  const file = new URL(`../${path}/LICENSE`, import.meta.url);
  const text = existsSync(file) ? readFileSync(file, 'utf8') : '';
  return /^MIT License\s+Copyright [^\n]+\s+Permission is hereby granted, free of charge, to any person/.test(text)
    ? 'MIT'
    : undefined;
}

/** The licence as one term; old packages write an object or a list of objects, which may be meant as a choice or not. */
function licenceOf({ license, licenses }) {
  if (typeof license === 'string') return license;
  const terms = [license ?? licenses].flat().map((term) => term?.type ?? term);
  return terms.filter(Boolean).join(' AND ') || 'unknown';
}

const rows = Object.entries(lock.packages)
  .filter(([path, entry]) => path.startsWith('node_modules/') && !entry.dev)
  .map(([path, entry]) => {
    const statement = statementOf(path, entry);
    const name = path.slice(path.lastIndexOf('node_modules/') + 'node_modules/'.length);
    const direct = path === `node_modules/${name}` && wanted.includes(name);
    return { name, version: statement.version, licence: licenceOf(statement), direct };
  })
  .sort((a, b) => (a.name < b.name ? -1 : 1));

for (const name of wanted) {
  if (!rows.some((row) => row.name === name)) throw new Error(`licences: ${name} was not seen; run npm ci`);
}
for (const { name, version, licence } of rows) console.log(`${licence.padEnd(12)} ${name} ${version}`);
const bad = rows.filter((row) => !permissive(row.licence));
for (const { name, licence } of bad)
  console.error(`licences: ${name} is under '${licence}', which is not on the list of permissive ones`);
console.log(`${rows.length} packages at run time, ${bad.length} not permissive`);
process.exitCode = bad.length > 0 ? 1 : 0;

if (process.argv.includes('--write') && bad.length === 0) {
  const lines = rows.map((r) => `| ${r.name} | ${r.version} | ${r.licence} | ${r.direct ? 'direct' : ''} |`);
  writeFileSync(
    new URL('../docs/licences.md', import.meta.url),
    `# Licences

What the program needs at run time, with the licence that each package states of itself, or brings the text of. Written by
\`node tools/licences.mjs --write\`; the same command without \`--write\` fails when a licence is not permissive.

| package | version | licence | |
|---|---|---|---|
${lines.join('\n')}

MIT, ISC, Apache-2.0 and the like ask that their text and the copyright notice go along with a copy. The fonts are under the
SIL Open Font License 1.1: they may be bundled and embedded, not sold by themselves, and a changed font takes another name.
Tools for development (compiler, tests, bundler) are not shipped and not listed.

Data: the outline of the land is Natural Earth 1:110m, public domain. Viridis is released under CC0; cividis follows its published
table. Tables of equations and the twelve means of each reference climate are facts, with their sources in
[sources.md](sources.md). Sunperch itself: MIT, see [LICENSE](../LICENSE).
`,
  );
}
