/** A strict little checker of well-formed XML elements: enough for the SVG that the report writes, and not forgiving. */

export interface XmlElement {
  readonly name: string;
  readonly attributes: ReadonlyMap<string, string>;
  readonly children: XmlElement[];
  text: string;
}

const NAME = /^[A-Za-z_][A-Za-z0-9_.:-]*/;

/** Parses one element with all that is in it. Throws on anything that XML does not allow. */
export function parseXml(source: string): XmlElement {
  let at = 0;
  const fail = (what: string): never => {
    throw new Error(`${what} at ${at}: …${source.slice(Math.max(at - 40, 0), at + 40)}…`);
  };
  const name = () => {
    const match = NAME.exec(source.slice(at, at + 80));
    if (match === null) return fail('a name was expected');
    at += match[0].length;
    return match[0];
  };
  const checkText = (text: string) => {
    const bare = text.replace(/&(amp|lt|gt|quot|#39);/g, '');
    if (bare.includes('&')) fail('a bare &');
    // XML 1.0 section 2.2 forbids these.
    if (/[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]/.test(text)) fail('a forbidden character');
    for (const character of text) if (/^[\ud800-\udfff]$/.test(character)) fail('a lone surrogate');
  };
  const open = (): XmlElement => {
    if (source[at] !== '<') fail('< was expected');
    at++;
    const element: XmlElement = { name: name(), attributes: new Map(), children: [], text: '' };
    for (;;) {
      const space = /^\s*/.exec(source.slice(at, at + 20))![0];
      at += space.length;
      if (source.startsWith('/>', at)) {
        at += 2;
        return element;
      }
      if (source[at] === '>') {
        at++;
        break;
      }
      if (space === '') fail('a space was expected');
      const key = name();
      if (!source.startsWith('="', at)) fail('=" was expected');
      const end = source.indexOf('"', at + 2);
      if (end < 0) fail('an attribute does not end');
      const value = source.slice(at + 2, end);
      if (value.includes('<')) fail('< in an attribute');
      checkText(value);
      if (element.attributes.has(key)) fail(`attribute ${key} twice`);
      (element.attributes as Map<string, string>).set(key, value);
      at = end + 1;
    }
    for (;;) {
      const next = source.indexOf('<', at);
      if (next < 0) fail(`<${element.name}> does not end`);
      const text = source.slice(at, next);
      checkText(text);
      element.text += text;
      at = next;
      if (source.startsWith('</', at)) {
        at += 2;
        if (name() !== element.name) fail(`<${element.name}> ends under another name`);
        if (source[at] !== '>') fail('> was expected');
        at++;
        return element;
      }
      element.children.push(open());
    }
  };
  const root = open();
  if (source.slice(at).trim() !== '') fail('something stands after the end');
  return root;
}

/** An element and everything below it. */
export function descendants(element: XmlElement): XmlElement[] {
  return [element, ...element.children.flatMap(descendants)];
}

/** Checks one of our pictures and gives its parts: well-formed, named for those who do not see it, no stray value. */
export function checkPicture(svg: string): { root: XmlElement; title: string; description: string } {
  const root = parseXml(svg);
  if (root.name !== 'svg' || root.attributes.get('role') !== 'img') throw new Error('not an <svg role="img">');
  if (!/^0 0 [\d.]+ [\d.]+$/.test(root.attributes.get('viewBox') ?? '')) throw new Error('no viewBox');
  const all = descendants(root);
  for (const e of all) {
    for (const [key, value] of e.attributes) {
      if (/NaN|undefined|Infinity|null/.test(value)) throw new Error(`${e.name} has ${key}="${value}"`);
    }
  }
  const ids = all.flatMap((e) => e.attributes.get('id') ?? []);
  if (new Set(ids).size !== ids.length) throw new Error('an id is used twice');
  const labelled = (root.attributes.get('aria-labelledby') ?? '').split(' ');
  const [title, description] = labelled.map((id) => all.find((e) => e.attributes.get('id') === id));
  if (title?.name !== 'title' || description?.name !== 'desc') throw new Error('title or description is missing');
  if (title.text === '' || description.text === '') throw new Error('title or description is empty');
  if (/NaN|undefined|Infinity/.test(description.text)) throw new Error(`description: ${description.text}`);
  return { root, title: title.text, description: description.text };
}
