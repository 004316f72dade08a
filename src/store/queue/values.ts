/** Values of tasks as text, exactly: what is read back is what was written, to the last bit. Typed arrays stand beside the text. */

const ARRAYS = {
  Float64Array,
  Float32Array,
  Int32Array,
  Uint32Array,
  Int16Array,
  Uint16Array,
  Int8Array,
  Uint8Array,
  Uint8ClampedArray,
} as const;
type Kind = keyof typeof ARRAYS;

/** What JSON has no word for. */
const WORDS: readonly (readonly [value: unknown, word: string])[] = [
  [Number.NaN, 'NaN'],
  [Number.POSITIVE_INFINITY, 'Infinity'],
  [Number.NEGATIVE_INFINITY, '-Infinity'],
  [-0, '-0'],
  [undefined, 'undefined'],
];

/** The bytes of a typed array, without a copy. */
export const bytesOf = (array: ArrayBufferView): Uint8Array =>
  new Uint8Array(array.buffer, array.byteOffset, array.byteLength);

/**
 * Plain values (numbers, texts, truth values, null, undefined, lists, plain objects) and typed arrays as JSON. An object with one
 * key `$` stands for what JSON lacks. `keep` takes a typed array and gives the number by which `fromText` asks for its bytes.
 * The bytes are those of the machine, low end first on all that Node runs on in practice.
 *
 * @throws RangeError for a value of another kind
 */
export function toText(value: unknown, keep: (array: ArrayBufferView) => number): string {
  const plain = (item: unknown): unknown => {
    const word = WORDS.find(([v]) => Object.is(v, item));
    if (word !== undefined) return { $: word[1] };
    if (item === null || ['number', 'string', 'boolean'].includes(typeof item)) return item;
    if (Array.isArray(item)) return Array.from(item, plain);
    if (typeof item === 'object') {
      if (ArrayBuffer.isView(item)) {
        const kind = item.constructor.name;
        if (!(kind in ARRAYS)) throw new RangeError(`toText: a ${kind} cannot be written`);
        return { $: 'array', kind, bytes: keep(item) };
      }
      const prototype = Object.getPrototypeOf(item);
      if (prototype === Object.prototype || prototype === null) {
        const entries = Object.entries(item).map(([key, v]) => [key, plain(v)] as const);
        return '$' in item ? { $: 'object', entries } : Object.fromEntries(entries);
      }
    }
    throw new RangeError(`toText: ${Object.prototype.toString.call(item)} cannot be written`);
  };
  return JSON.stringify(plain(value));
}

/** The value that `toText` wrote. `take` gives the bytes of a number, in memory of their own. */
export function fromText(text: string, take: (number: number) => Uint8Array): unknown {
  const rich = (item: unknown): unknown => {
    if (item === null || typeof item !== 'object') return item;
    if (Array.isArray(item)) return item.map(rich);
    if (!('$' in item)) return Object.fromEntries(Object.entries(item).map(([key, v]) => [key, rich(v)]));
    const marked = item as { $: string; kind?: Kind; bytes?: number; entries?: [string, unknown][] };
    if (marked.$ === 'object') return Object.fromEntries(marked.entries!.map(([key, v]) => [key, rich(v)]));
    if (marked.$ === 'array') {
      const bytes = take(marked.bytes!);
      const make = ARRAYS[marked.kind!];
      return new make(bytes.buffer as ArrayBuffer, bytes.byteOffset, bytes.byteLength / make.BYTES_PER_ELEMENT);
    }
    return WORDS.find(([, word]) => word === marked.$)![0];
  };
  return rich(JSON.parse(text));
}

/** Numbers the typed arrays that it is given, the same region of memory once. */
export function createKeeper(): { readonly arrays: readonly ArrayBufferView[]; keep(array: ArrayBufferView): number } {
  const arrays: ArrayBufferView[] = [];
  const seen = new Map<ArrayBufferLike, Map<string, number>>();
  return {
    arrays,
    keep(array) {
      const regions = seen.get(array.buffer) ?? new Map<string, number>();
      seen.set(array.buffer, regions);
      const region = `${array.byteOffset}+${array.byteLength}`;
      const known = regions.get(region);
      if (known !== undefined) return known;
      regions.set(region, arrays.push(array) - 1);
      return arrays.length - 1;
    },
  };
}
