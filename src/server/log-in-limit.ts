/** How often the passphrase may be tried: a few at once, then slowly; one address cannot shut out the others for long. */

/** Saved-up waiting: a try costs one pause. Whole milliseconds, so that nothing is lost to rounding. */
interface Bucket {
  saved_ms: number;
  at_ms: number;
}

/** Tries at once, and seconds until one more is allowed (common practice, no source). */
interface Rate {
  readonly most: number;
  readonly pause_s: number;
}
const EACH: Rate = { most: 5, pause_s: 30 };
const ALL: Rate = { most: 30, pause_s: 2 };
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
  const full = ({ most, pause_s }: Rate): Bucket => ({ saved_ms: most * pause_s * 1000, at_ms: now_ms() });
  const all = full(ALL);
  const fill = (bucket: Bucket, { most, pause_s }: Rate) => {
    const now = now_ms();
    bucket.saved_ms = Math.min(most * pause_s * 1000, bucket.saved_ms + Math.max(0, now - bucket.at_ms));
    bucket.at_ms = now;
  };
  return {
    take(address) {
      const name = groupOf(address);
      const own = each.get(name) ?? full(EACH);
      fill(own, EACH);
      fill(all, ALL);
      each.delete(name);
      each.set(name, own);
      if (each.size > ADDRESSES) each.delete(each.keys().next().value ?? '');
      const wait_ms = Math.max(EACH.pause_s * 1000 - own.saved_ms, ALL.pause_s * 1000 - all.saved_ms);
      if (wait_ms > 0) return Math.ceil(wait_ms / 1000);
      own.saved_ms -= EACH.pause_s * 1000;
      all.saved_ms -= ALL.pause_s * 1000;
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
