// Serves command lines of the built program one after the other in this one process: a line of JSON comes on descriptor 3,
// `{ args, cwd, env }`, and one goes out on descriptor 4, `{ code, out, err }`. Started by warm.ts.
import { writeSync } from 'node:fs';
import { Socket } from 'node:net';
import { createInterface } from 'node:readline';
import { pathToFileURL } from 'node:url';

const [, , bundle, program] = process.argv;
let said = { out: '', err: '' };
const catching = (name) => (chunk, encoding, done) => {
  said[name] += typeof chunk === 'string' ? chunk : Buffer.from(chunk).toString('utf8');
  const after = typeof encoding === 'function' ? encoding : done;
  if (after) process.nextTick(after);
  return true;
};
process.stdout.write = catching('out');
process.stderr.write = catching('err');
process.on('uncaughtExceptionMonitor', (error) =>
  writeSync(
    2,
    `${error.stack}
`,
  ),
);

// The bundle runs what stands on the command line when it is loaded.
process.argv = [process.execPath, program, '--version'];
const { main } = await import(pathToFileURL(bundle).href);

for await (const line of createInterface({ input: new Socket({ fd: 3, readable: true, writable: false }) })) {
  const { args, cwd, env } = JSON.parse(line);
  for (const name of Object.keys(process.env)) if (!(name in env)) delete process.env[name];
  Object.assign(process.env, env);
  process.chdir(cwd);
  process.argv = [process.execPath, program, ...args];
  said = { out: '', err: '' };
  process.exitCode = undefined;
  const code = await main(process.argv);
  // What is written just after the end of a command belongs to it.
  await new Promise((resolve) => setImmediate(resolve));
  const answer = Buffer.from(`${JSON.stringify({ code, ...said })}\n`);
  for (let sent = 0; sent < answer.length; ) sent += writeSync(4, answer, sent);
}
