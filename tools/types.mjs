// Checks each layer with its own compiler settings (core sees no DOM, no Node), two at a time, then the whole tree.
import { spawn } from 'node:child_process';
import { existsSync, readdirSync } from 'node:fs';

const projects = [
  ...readdirSync('src')
    .map((folder) => `src/${folder}/tsconfig.json`)
    .filter((path) => existsSync(path)),
  'tsconfig.json',
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
