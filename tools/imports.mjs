// Checks that imports point one way, and first that the checker sees: each planted import must be reported.
import { cpSync, mkdtempSync, readdirSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { cruise } from 'dependency-cruiser';
import extractTSConfig from 'dependency-cruiser/config-utl/extract-ts-config';

const config = createRequire(import.meta.url)('../.dependency-cruiser.cjs');
const look = async (paths, baseDir = process.cwd()) => {
  const result = await cruise(
    paths,
    { ...config.options, ruleSet: { forbidden: config.forbidden }, validate: true, baseDir },
    undefined,
    { tsConfig: extractTSConfig('tsconfig.json') },
  );
  return typeof result.output === 'string' ? JSON.parse(result.output) : result.output;
};

const canaries = [
  [
    'src/core/math/canary.tmp.ts',
    "import { openSync } from 'node:fs';\nexport const canary = openSync;\n",
    'core-imports-nothing',
  ],
  [
    'src/core/units/canary.tmp.ts',
    "import { createRandom } from '../math/index.ts';\nexport const canary = createRandom;\n",
    'core-units',
  ],
  ['src/report/canary.tmp.ts', 'export const canary = 1;\n', undefined],
  [
    'src/records/canary.tmp.ts',
    "import { canary } from '../report/canary.tmp.ts';\nexport const copy = canary;\n",
    'records-layer',
  ],
  [
    'src/papers/canary.tmp.ts',
    "import { listRecords } from '../app/workshop.ts';\nexport const canary = listRecords;\n",
    'papers-layer',
  ],
  [
    'src/store/canary.tmp.ts',
    "import { listRecords } from '../app/workshop.ts';\nexport const canary = listRecords;\n",
    'store-layer',
  ],
];
let failed = false;
// They are planted in a copy: other gates read the source at the same time.
const copy = mkdtempSync(join(tmpdir(), 'sunperch-imports-'));
try {
  cpSync('src', join(copy, 'src'), { recursive: true });
  for (const [file, text] of canaries) writeFileSync(join(copy, file), text);
  const seen = await look(
    canaries.map(([file]) => file),
    copy,
  );
  for (const [file, , rule] of canaries) {
    if (rule && !seen.summary.violations.some((v) => v.from === file && v.rule.name === rule)) {
      console.error(`imports: the checker did not see the planted import in ${file} (${rule})`);
      failed = true;
    }
  }
} finally {
  rmSync(copy, { recursive: true, force: true });
}

const folders = readdirSync('src').filter((f) => statSync(`src/${f}`).isDirectory());
const result = await look(folders.map((f) => `src/${f}`));
for (const v of result.summary.violations) {
  console.error(`imports: ${v.rule.name}: ${v.from} -> ${v.to}`);
  failed = true;
}
const modules = result.modules.filter((m) => m.source.startsWith('src/')).length;
const files = countSources('src');
if (modules < files) {
  console.error(`imports: only ${modules} of ${files} source files were seen`);
  failed = true;
}
console.log(
  `imports: ${modules} files, ${result.summary.totalDependenciesCruised} imports, ${result.summary.violations.length} against the rules`,
);
process.exitCode = failed ? 1 : 0;

function countSources(folder) {
  let count = 0;
  for (const entry of readdirSync(folder, { withFileTypes: true })) {
    if (entry.isDirectory()) count += countSources(`${folder}/${entry.name}`);
    else if (entry.name.endsWith('.ts')) count++;
  }
  return count;
}
