/** Under which names the server answers, and which requests come from its own pages. */
import { isIP } from 'node:net';
import { userError } from '../core/units/index.ts';

export interface Exposure {
  /** Bound to more than the loopback address, or offered under another name: a passphrase is demanded. */
  readonly network: boolean;
  /** Addresses under which a proxy or the network offers it, as browsers write an origin: `https://mesh.example.org`. */
  readonly origins: readonly string[];
}

/** Host and port of a Host header; undefined where it is none. */
export function readHost(header: string): { readonly name: string; readonly host: string } | undefined {
  const match = /^(\[[0-9a-f:.]+\]|[a-z0-9_.-]+)(?::(\d{1,5}))?$/i.exec(header);
  if (match?.[1] === undefined) return undefined;
  return { name: match[1].toLowerCase().replace(/^\[|\]$/g, ''), host: header.toLowerCase() };
}

/** Whether an address means this machine only (RFC 1122 section 3.2.1.3, RFC 4291 section 2.5.3). */
export function isLoopback(address: string): boolean {
  const plain = address.toLowerCase().replace(/^\[|\]$/g, '');
  if (plain === 'localhost' || plain === '::1') return true;
  return isIP(plain) === 4 && plain.startsWith('127.');
}

/**
 * Whether a request may name this host. A foreign name that was made to point here (DNS rebinding) is refused: on the
 * loopback address only its own names count, on a network also bare addresses, which no name server can bend, and the
 * names of `origins`.
 */
export function hostAllowed(header: string | undefined, exposure: Exposure): boolean {
  const found = header === undefined ? undefined : readHost(header);
  if (found === undefined) return false;
  if (isLoopback(found.name)) return true;
  if (exposure.network && isIP(found.name) !== 0) return true;
  return exposure.origins.some((origin) => new URL(origin).host === found.host);
}

/** Whether the page that sent the request is one of this server's. A request without both headers comes from no page. */
export function ownPage(
  origin: string | undefined,
  site: string | undefined,
  host: string,
  exposure: Exposure,
): boolean {
  if (site !== undefined && site !== 'same-origin' && site !== 'none') return false;
  if (origin === undefined) return true;
  if (exposure.origins.includes(origin)) return true;
  const own = host.toLowerCase();
  return origin.toLowerCase() === `http://${own}` || origin.toLowerCase() === `https://${own}`;
}

/** Whether every way to this server is encrypted, so that the cookie may be kept to such ways. */
export const encrypted = ({ origins }: Exposure): boolean =>
  origins.length > 0 && origins.every((origin) => origin.startsWith('https://'));

/** An origin as browsers write it. UserError for what is none: a path, no scheme, another scheme. */
export function readOrigin(text: string): string {
  const url = URL.canParse(text) ? new URL(text) : undefined;
  const plain =
    url !== undefined && /^https?:$/.test(url.protocol) && url.pathname === '/' && url.search + url.hash === '';
  if (!plain || url.username + url.password !== '')
    throw userError(
      'bad-origin',
      `--origin is '${text.slice(0, 80)}': scheme and host are wanted, e.g. https://mesh.example.org`,
    );
  return url.origin;
}
