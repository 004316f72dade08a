/** The two databases on which each test of the store runs. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import pg from 'pg';
import type { Revision } from '../../src/app/store-port.ts';
import { findPostgres, type PostgresServer, startPostgres } from './postgres-server.ts';

export interface Place {
  readonly name: string;
  readonly absent?: string;
  start(): Promise<void>;
  stop(): void;
  /** A name or an address where no workshop is yet. */
  fresh(): Promise<string>;
  /** Statements past the store, as a stranger's program would send them. */
  raw(target: string, sql: string): Promise<Record<string, unknown>[]>;
}

function sqlite(): Place {
  let folder = '';
  let made = 0;
  return {
    name: 'SQLite',
    start: async () => {
      folder = mkdtempSync(join(tmpdir(), 'sunperch-store-'));
    },
    stop: () => rmSync(folder, { recursive: true, force: true }),
    fresh: async () => join(folder, `${++made}.sunperch`),
    raw: async (target, sql) => {
      const database = new Database(target);
      try {
        if (/^(select|pragma)/.test(sql)) return database.prepare(sql).all() as Record<string, unknown>[];
        database.exec(sql);
        return [];
      } finally {
        database.close();
      }
    },
  };
}

function postgres(): Place {
  const bin = findPostgres();
  let server: PostgresServer | undefined;
  return {
    name: 'PostgreSQL',
    ...(bin === undefined ? { absent: 'not installed; on Debian: apt-get install postgresql' } : {}),
    start: async () => {
      server = await startPostgres(bin!);
    },
    stop: () => server?.stop(),
    fresh: () => server!.newDatabase(),
    raw: async (target, sql) => {
      const client = new pg.Client(target);
      await client.connect();
      try {
        await client.query('set search_path to sunperch');
        const result = await client.query(sql);
        return result.rows ?? [];
      } finally {
        await client.end();
      }
    },
  };
}

export const places = (): Place[] => [sqlite(), postgres()];

export const now = () => '2030-01-31T12:00:00.000Z';

/** A revision with a few fields of its own. */
export function revision(key: string, number: number, changes: Partial<Revision> = {}): Revision {
  const content = 'content' in changes ? changes.content! : `name: ${key}\n# ${number}\n`;
  return {
    kind: 'perch',
    key,
    number,
    name: key,
    latitude_deg: 46.4,
    longitude_deg: null,
    elevation_m: null,
    restores: null,
    note: '',
    savedAt: now(),
    ...changes,
    content,
    removed: content === null,
  };
}
