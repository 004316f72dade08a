// Checks each layer with its own compiler settings (core sees no DOM, no Node), two at a time. Layers whose settings are
// those of the whole tree are checked with it.
import { spawn } from 'node:child_process';
import { existsSync, readdirSync, readFileSync } from 'node:fs';

const settings = (path) => JSON.stringify(JSON.parse(readFileSync(path, 'utf8')).compilerOptions);
const whole = settings('tsconfig.json');

const projects = [
  'tsconfig.json',
  ...readdirSync('src')
    .map((folder) => `src/${folder}/tsconfig.json`)
    .filter((path) => existsSync(path) && settings(path) !== whole),
];
let failed = false;
const next = async () => {
  for (let project = projects.shift(); project; project = projects.shift()) {
    const code = await new Promise((resolve) =>
      spawn('npx', ['--no-install', 'tsc', '-p', project], { stdio: 'inherit' }).on('close', resolve),
    );
    if (code !== 0) {
      failed = true;
      console.error(`types: ${project} has errors`);
    }
  }
};
await Promise.all([next(), next()]);
process.exitCode = failed ? 1 : 0;
