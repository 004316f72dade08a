const SIGNS = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/';

/** Bytes as text (RFC 4648, section 4). */
export function base64(values: Uint8Array | Int8Array | Int16Array): string {
  const bytes = new Uint8Array(values.buffer, values.byteOffset, values.byteLength);
  const signs = new Uint16Array(4 * Math.ceil(bytes.length / 3));
  for (let i = 0, k = 0; i < bytes.length; i += 3) {
    const three = (bytes[i]! << 16) | ((bytes[i + 1] ?? 0) << 8) | (bytes[i + 2] ?? 0);
    for (let shift = 18; shift >= 0; shift -= 6) signs[k++] = SIGNS.charCodeAt((three >> shift) & 63);
  }
  const spare = (3 - (bytes.length % 3)) % 3;
  for (let i = 1; i <= spare; i++) signs[signs.length - i] = 61;
  let text = '';
  for (let i = 0; i < signs.length; i += 0x4000) text += String.fromCharCode(...signs.subarray(i, i + 0x4000));
  return text;
}
