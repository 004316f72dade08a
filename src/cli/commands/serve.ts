import type { Command } from 'commander';
import { gather, whole, withExample, withJson, withSpread } from '../options.ts';
import { say, sayJson } from '../print.ts';
import { sayFolded } from '../tail.ts';
import { workshopOf } from '../workshop.ts';
import { type TerrainArguments, terrainPlace, withTerrain } from './terrain-options.ts';

interface ServeOptions extends Partial<TerrainArguments> {
  readonly workshop?: string;
  readonly port?: number;
  readonly host?: string;
  readonly origin?: string[];
  readonly demo?: boolean;
  readonly spread?: boolean;
  readonly setPassphrase?: boolean;
  readonly json?: boolean;
}

const PORT = 7468;
const HOST = '127.0.0.1';

export function registerServe(program: Command): void {
  const command = program
    .command('serve')
    .summary('the workbench in the browser, on this machine or for a group')
    .description(
      'Serves the workshop to browsers until Ctrl-C. Only this machine may ask, unless --host or --origin say otherwise; then a passphrase is demanded.',
    )
    .option('--workshop <file>', 'file or postgres:// address of the workshop; made when there is none')
    .option('--port <n>', `port (default ${PORT}; 0: any that is free)`, whole(0))
    .option('--host <address>', `address to listen on (default ${HOST}; 0.0.0.0: every network of this machine)`)
    .option(
      '--origin <url>',
      'address under which a proxy offers it, e.g. https://mesh.example.org; repeatable',
      gather,
    )
    .option(
      '--demo',
      'puts the examples into a workshop that is empty; their invented terrain unless --terrain names one',
    )
    .option(
      '--set-passphrase',
      'asks for a passphrase (or takes the first line of standard input), keeps its hash, ends',
    );
  withExample(
    withJson(withSpread(withTerrain(command, 'optional'))),
    'sunperch serve --demo',
    'sunperch serve --workshop valley.sunperch --terrain terrain/',
    'sunperch serve --workshop valley.sunperch --set-passphrase',
    'sunperch serve --workshop valley.sunperch --host 0.0.0.0',
  );
  command.action(async (options: ServeOptions) => {
    const workshop = workshopOf(options);
    const { serve, setPassphrase } = await import('../serve.ts');
    if (options.setPassphrase) {
      const { askSecret } = await import('../ask-secret.ts');
      const file = await setPassphrase(workshop, await askSecret('Passphrase: '));
      if (options.json) sayJson({ command: 'serve', passphrase: file });
      else say(`The passphrase is set; its hash is kept in ${file}. Sessions under an older one have ended.`);
      return;
    }
    const serving = await serve({
      workshop,
      host: options.host ?? HOST,
      port: options.port ?? PORT,
      origins: options.origin ?? [],
      demo: options.demo === true,
      terrain: options.terrain === undefined ? undefined : terrainPlace({ ...options, terrain: options.terrain }),
      spread: options.spread === true,
      passphrase: process.env['SUNPERCH_PASSPHRASE'] || undefined,
    });
    const { url, locked } = serving;
    if (options.json) sayJson({ command: 'serve', url, workshop: serving.workshop, passphrase: locked });
    else {
      say(`${serving.workshop} is open at ${url} (Ctrl-C ends)`);
      if (serving.exposure.network && !url.startsWith('https://'))
        sayFolded(
          'Others on the network may ask, with the passphrase. It travels unencrypted: use a network that you trust, or a proxy with TLS and --origin.',
        );
    }
    await ended();
    await serving.stop();
  });
}

/** Waits for Ctrl-C or a request to end; a second one ends at once. */
function ended(): Promise<void> {
  return new Promise((resolve) => {
    let first = true;
    const end = () => {
      if (!first) process.exit(130);
      first = false;
      resolve();
    };
    process.on('SIGINT', end);
    process.on('SIGTERM', end);
  });
}
