/** How often the passphrase may be tried: a few at once, then slowly; one address cannot shut out the others for long. */

interface Bucket {
  left: number;
  at_ms: number;
}

/** Tries at once, and seconds until one more is allowed (common practice, no source). */
const EACH = { most: 5, pause_s: 30 } as const;
const ALL = { most: 30, pause_s: 2 } as const;
/** Addresses remembered at most; the oldest are forgotten first. */
const ADDRESSES = 10_000;

export interface LogInLimit {
  /** Takes one try of an address; 0 when it may go on, else the seconds to wait. */
  take(address: string): number;
  /** A right passphrase gives the address its tries back. */
  forgive(address: string): void;
}

export function createLogInLimit(now_ms: () => number): LogInLimit {
  const each = new Map<string, Bucket>();
  const all: Bucket = { left: ALL.most, at_ms: now_ms() };
  const fill = (bucket: Bucket, { most, pause_s }: typeof EACH | typeof ALL) => {
    const now = now_ms();
    bucket.left = Math.min(most, bucket.left + Math.max(0, now - bucket.at_ms) / (1000 * pause_s));
    bucket.at_ms = now;
  };
  return {
    take(address) {
      const name = groupOf(address);
      const own = each.get(name) ?? { left: EACH.most, at_ms: now_ms() };
      fill(own, EACH);
      fill(all, ALL);
      each.delete(name);
      each.set(name, own);
      if (each.size > ADDRESSES) each.delete(each.keys().next().value ?? '');
      const wait_s = Math.max((1 - own.left) * EACH.pause_s, (1 - all.left) * ALL.pause_s);
      if (wait_s > 0) return Math.ceil(wait_s);
      own.left--;
      all.left--;
      return 0;
    },
    forgive(address) {
      each.delete(groupOf(address));
    },
  };
}

/** A household of IPv6 addresses counts as one: its first 64 bits (RFC 4291 section 2.5.4). */
function groupOf(address: string): string {
  if (!address.includes(':') || address.toLowerCase().startsWith('::ffff:')) return address;
  const [head = '', tail] = address.split('%')[0]!.split('::');
  const front = head === '' ? [] : head.split(':');
  const back = tail === undefined || tail === '' ? [] : tail.split(':');
  const zeros = tail === undefined ? 0 : Math.max(0, 8 - front.length - back.length);
  return [...front, ...Array<string>(zeros).fill('0'), ...back].slice(0, 4).join(':');
}
