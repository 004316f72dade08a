/** Reads the markup that the report writes (well-formed, escaped by `escapeText`) back into elements, to set it on paper. */

export interface Markup {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly children: readonly (Markup | string)[];
}

const ENTITY: Readonly<Record<string, string>> = { amp: '&', lt: '<', gt: '>', quot: '"', '#39': "'", nbsp: '\u00a0' };
const plain = (text: string) => text.replace(/&(amp|lt|gt|quot|#39|nbsp);/g, (_, name: string) => ENTITY[name]!);

const TAG = /<(\/?)([A-Za-z][A-Za-z0-9]*)((?:[^>"]|"[^"]*")*?)(\/?)>/g;
const ATTRIBUTE = /([A-Za-z_][\w.:-]*)(?:="([^"]*)")?/g;
/** Elements of HTML that have no end. */
const VOID = new Set(['br', 'img', 'hr']);

/**
 * Elements and text of a piece of markup, in order. Throws RangeError on an end tag without its beginning or the other way
 * round: the report writes neither.
 */
export function parseMarkup(source: string): (Markup | string)[] {
  const top: (Markup | string)[] = [];
  const open: { name: string; children: (Markup | string)[] }[] = [];
  const into = () => open.at(-1)?.children ?? top;
  let at = 0;
  for (const match of source.matchAll(TAG)) {
    const [whole, close, name, head, empty] = match as unknown as [string, string, string, string, string];
    if (match.index > at) into().push(plain(source.slice(at, match.index)));
    at = match.index + whole.length;
    if (close !== '') {
      if (open.pop()?.name !== name) throw new RangeError(`markup: </${name}> ends nothing`);
      continue;
    }
    const attributes: Record<string, string> = {};
    for (const [, key, value] of head.matchAll(ATTRIBUTE)) attributes[key!] = plain(value ?? '');
    const children: (Markup | string)[] = [];
    into().push({ name, attributes, children });
    if (empty === '' && !VOID.has(name)) open.push({ name, children });
  }
  if (open.length > 0) throw new RangeError(`markup: <${open.at(-1)!.name}> does not end`);
  if (at < source.length) top.push(plain(source.slice(at)));
  return top;
}

/** Words of an element's class. */
export const classesOf = (element: Markup): readonly string[] => (element.attributes.class ?? '').split(' ');
export const hasClass = (element: Markup, name: string): boolean => classesOf(element).includes(name);
/** The elements among the children. */
export const elementsOf = (children: readonly (Markup | string)[]): Markup[] =>
  children.filter((child): child is Markup => typeof child !== 'string');
/** All text within. */
export function textOf(node: Markup | string): string {
  return typeof node === 'string' ? node : node.children.map(textOf).join('');
}

/** First element of that name within, in the order of the text; undefined when there is none. */
export function findElement(nodes: readonly (Markup | string)[], name: string): Markup | undefined {
  for (const node of elementsOf(nodes)) {
    const found = node.name === name ? node : findElement(node.children, name);
    if (found !== undefined) return found;
  }
  return undefined;
}
