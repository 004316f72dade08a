/** Keeps what was loaded last, up to a number of bytes; what was used longest ago goes first. */
export class TileCache<T> {
  private readonly kept = new Map<string, { readonly value: T; readonly bytes: number }>();
  private readonly most: number;
  private held = 0;

  constructor(most_bytes: number) {
    this.most = most_bytes;
  }

  async get(key: string, size_bytes: (value: T) => number, load: () => Promise<T>): Promise<T> {
    const found = this.kept.get(key);
    if (found !== undefined) {
      this.kept.delete(key);
      this.kept.set(key, found);
      return found.value;
    }
    const value = await load();
    const bytes = size_bytes(value);
    // A second request for the same may have come meanwhile.
    this.drop(key);
    this.kept.set(key, { value, bytes });
    this.held += bytes;
    for (const oldest of this.kept.keys()) {
      if (this.held <= this.most || oldest === key) break;
      this.drop(oldest);
    }
    return value;
  }

  private drop(key: string): void {
    this.held -= this.kept.get(key)?.bytes ?? 0;
    this.kept.delete(key);
  }
}
