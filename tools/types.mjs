// Checks types, each layer with its own compiler settings: core, records and report see neither Node nor DOM, the pages see the
// DOM, all others see Node. Layers that see the same are checked together; those that see what the whole tree sees are checked
// with it. A file is checked once, in its own layer's group, however many groups read it. Every group has to find its own
// planted line.
import { spawnSync } from 'node:child_process';
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { fileURLToPath } from 'node:url';

const settings = (path) => JSON.stringify(JSON.parse(readFileSync(path, 'utf8')).compilerOptions);
/**
 * Layers whose packages bring Node's types along (`papaparse`, `geotiff`): the others must not be checked with them, and they
 * see what the whole tree sees whatever their settings say. What they may not touch is looked for by tools/pure.mjs.
 */
const NODE_COMES_ALONG = ['formats', 'app'];
/** Written into a file of the group's first layer that is only there for the compiler: what may not pass. */
const PLANTED = {
  core: ['process.argv;', 'document.title;'],
  web: ["export const count: number = 'three';"],
  whole: ['document.title;'],
};

/** Groups of layers that share one program: the folder whose settings hold, and the folders in it. */
function groups() {
  const whole = settings('tsconfig.json');
  const found = new Map();
  for (const layer of readdirSync('src')) {
    const path = `src/${layer}/tsconfig.json`;
    if (!existsSync(path) || settings(path) === whole || NODE_COMES_ALONG.includes(layer)) continue;
    found.set(settings(path), [...(found.get(settings(path)) ?? []), layer]);
  }
  return [['whole'], ...found.values()];
}

/** Folders that groups other than the whole tree's check. */
const checkedElsewhere = () =>
  groups()
    .slice(1)
    .flat()
    .map((layer) => `${resolve('src', layer)}/`);

/** Checks one group in this process and prints what is wrong. */
async function check(layers) {
  const { default: ts } = await import('typescript');
  const config = layers[0] === 'whole' ? 'tsconfig.json' : `src/${layers[0]}/tsconfig.json`;
  const { options, fileNames, errors } = ts.getParsedCommandLineOfConfigFile(
    config,
    {},
    {
      ...ts.sys,
      onUnRecoverableConfigFileDiagnostic: (d) => console.error(ts.flattenDiagnosticMessageText(d.messageText, '\n')),
    },
  );
  for (const layer of layers.slice(1))
    fileNames.push(...ts.sys.readDirectory(`src/${layer}`, ['.ts', '.tsx']).map((file) => resolve(file)));
  const name = Object.keys(PLANTED).find((layer) => layers.includes(layer));
  const planted = PLANTED[name].map((text, i) => [
    resolve(name === 'whole' ? `src/planted-${i}.ts` : `src/${name}/planted-${i}.ts`),
    `${text}\nexport {};\n`,
  ]);
  const host = ts.createCompilerHost(options);
  const { fileExists, readFile } = host;
  const text = new Map(planted);
  host.fileExists = (path) => text.has(path) || fileExists(path);
  host.readFile = (path) => text.get(path) ?? readFile(path);
  const program = ts.createProgram([...fileNames, ...text.keys()], options, host);
  const elsewhere = layers[0] === 'whole' ? checkedElsewhere() : [];
  const own = [...fileNames, ...text.keys()].filter((path) => !elsewhere.some((folder) => path.startsWith(folder)));
  const found = [
    ...errors,
    ...program.getOptionsDiagnostics(),
    ...own
      .map((path) => program.getSourceFile(path))
      .flatMap((f) => [...program.getSyntacticDiagnostics(f), ...program.getSemanticDiagnostics(f)]),
    // Last: checking finds some of them.
    ...program.getGlobalDiagnostics(),
  ];
  const isPlanted = (d) => d.file !== undefined && text.has(d.file.fileName);
  const unseen = [...text.keys()].filter((path) => !found.some((d) => d.file?.fileName === path));
  for (const path of unseen) console.error(`types: the planted line in ${path} was not seen as wrong`);
  const wrong = found.filter((d) => !isPlanted(d));
  if (wrong.length > 0)
    console.error(
      ts.formatDiagnostics(wrong, {
        getCurrentDirectory: () => process.cwd(),
        getCanonicalFileName: (path) => path,
        getNewLine: () => '\n',
      }),
    );
  return wrong.length === 0 && unseen.length === 0;
}

const asked = process.argv.slice(2);
if (asked.length > 0) process.exitCode = (await check(asked)) ? 0 : 1;
else {
  let failed = false;
  // One after the other: beside the tests there is no processor to spare.
  for (const layers of groups()) {
    const args = ['--max-semi-space-size=64', fileURLToPath(import.meta.url), ...layers];
    if (spawnSync(process.execPath, args, { stdio: 'inherit' }).status === 0) continue;
    failed = true;
    console.error(`types: ${layers.join(', ')}: errors`);
  }
  process.exitCode = failed ? 1 : 0;
}
