import { encode } from 'fast-png';

/** Pixels from the top left, three bytes each (red, green, blue). */
export interface RgbPixels {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8Array;
}

/** A PNG file of pixels: 8 bits, three channels (W3C PNG, third edition), written by a general library. */
export function encodePng({ width, height, data }: RgbPixels): Uint8Array {
  if (data.length !== 3 * width * height)
    throw new RangeError(`encodePng: ${data.length} bytes for ${width}x${height}`);
  return encode({ width, height, data, channels: 3, depth: 8 });
}
