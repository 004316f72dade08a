import type { Server } from 'node:http';
import { createAdaptorServer } from '@hono/node-server';
import { userError } from '../core/units/index.ts';
import type { ServerApp } from './app.ts';

export interface Listening {
  readonly port: number;
  /** Takes no more requests, lets those at hand end, then returns. */
  stop(): Promise<void>;
}

/** How long requests at hand may take at the stop, and limits of slow senders (common practice, no source). */
const GRACE_ms = 3000;
const LIMITS = { requestTimeout: 60_000, headersTimeout: 15_000, keepAliveTimeout: 10_000, maxHeaderSize: 16_384 };

/** Listens on one address. UserError when the port is taken or not allowed. */
export async function listen(app: ServerApp, hostname: string, port: number): Promise<Listening> {
  const server = createAdaptorServer({
    fetch: app.fetch,
    hostname,
    overrideGlobalObjects: false,
    serverOptions: LIMITS,
  }) as Server;
  await new Promise<void>((resolve, reject) => {
    server.once('error', (error: NodeJS.ErrnoException) => reject(sentence(error, hostname, port)));
    server.listen({ host: hostname, port }, resolve);
  });
  const address = server.address();
  return {
    port: typeof address === 'object' && address !== null ? address.port : port,
    stop: () =>
      new Promise((resolve) => {
        const late = setTimeout(() => server.closeAllConnections(), GRACE_ms);
        // A connection that was busy becomes idle when its answer is out.
        const idle = setInterval(() => server.closeIdleConnections(), 20);
        server.close(() => {
          clearTimeout(late);
          clearInterval(idle);
          resolve();
        });
        server.closeIdleConnections();
      }),
  };
}

function sentence(error: NodeJS.ErrnoException, hostname: string, port: number): unknown {
  const at = `${hostname}:${port}`;
  switch (error.code) {
    case 'EADDRINUSE':
      return userError('port-taken', `${at} is taken: does the server run already? Else choose another --port`);
    case 'EACCES':
      return userError('port-forbidden', `this user may not listen on ${at}: choose a port from 1024`);
    case 'EADDRNOTAVAIL':
    case 'ENOTFOUND':
    case 'EINVAL':
      return userError('no-such-address', `this machine has no address ${hostname}: 127.0.0.1 or 0.0.0.0?`);
    default:
      return error;
  }
}
