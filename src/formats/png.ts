import { encode } from 'fast-png';

/** Pixels from the top left: grey and alpha, red, green and blue (also when not told), or these and alpha; a byte each. */
export interface PngPixels {
  readonly channels?: 2 | 3 | 4;
  readonly width: number;
  readonly height: number;
  readonly data: Uint8Array;
}

/** A PNG file of pixels: 8 bits a channel (W3C PNG, third edition), written by a general library; `quick`: sooner, and larger. */
export function encodePng({ width, height, data, channels = 3 }: PngPixels, quick = false): Uint8Array {
  if (data.length !== channels * width * height)
    throw new RangeError(`encodePng: ${data.length} bytes for ${width}x${height}`);
  return encode({ width, height, data, channels, depth: 8 }, quick ? { zlib: { level: 1 } } : {});
}
