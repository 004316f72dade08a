// Pure folders may not read a clock, draw unseeded chance or touch a global that changes. Checks itself on planted lines first.
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';

const pure = ['src/core', 'src/app', 'src/formats', 'src/records', 'src/report', 'src/papers'];
const forbidden = [
  [/\bMath\.random\b/, 'unseeded chance'],
  [/\bnew Date\(\s*\)|\bDate\.now\b/, 'the clock'],
  [/\bperformance\.now\b|\bprocess\.|\bglobalThis\b|\bconsole\.|\bsetTimeout\b|\bfetch\(/, 'the outside'],
];
const mutable = /^(export\s+)?let\s/;
const offences = (text) =>
  text.split('\n').flatMap((line, i) => {
    const code = line.replace(/\/\/.*$/, '').replace(/^\s*\*.*$/, '');
    const hits = forbidden.filter(([pattern]) => pattern.test(code)).map(([, what]) => what);
    if (mutable.test(code)) hits.push('module state that changes');
    return hits.map((what) => `${i + 1}: ${what}: ${line.trim()}`);
  });

const planted = 'const x = Math.random();\nconst t = Date.now();\nlet counter = 0;\nconsole.log(1);';
let failed = offences(planted).length !== 4;
if (failed) console.error('pure: the check does not see its own planted lines');
const walk = (folder) =>
  readdirSync(folder, { withFileTypes: true }).flatMap((e) =>
    e.isDirectory() ? walk(join(folder, e.name)) : e.name.endsWith('.ts') ? [join(folder, e.name)] : [],
  );
let files = 0;
for (const file of pure.flatMap(walk)) {
  files++;
  for (const offence of offences(readFileSync(file, 'utf8'))) {
    console.error(`pure: ${file}:${offence}`);
    failed = true;
  }
}
console.log(`pure: ${files} files read`);
process.exitCode = failed ? 1 : 0;
