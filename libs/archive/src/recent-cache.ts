/** Keeps the things used last, up to a weight; what falls out is let go by `release`. */
export class RecentCache<V> {
  private readonly entries = new Map<string, { value: V; weight: number }>();
  private total = 0;

  constructor(
    private readonly maxWeight: number,
    private readonly release: (value: V) => void = () => undefined,
  ) {}

  get(key: string): V | undefined {
    const entry = this.entries.get(key);
    if (entry === undefined) return undefined;
    this.entries.delete(key);
    this.entries.set(key, entry);
    return entry.value;
  }

  set(key: string, value: V, weight = 1): void {
    this.remove(key);
    this.entries.set(key, { value, weight });
    this.total += weight;
    for (const oldest of this.entries.keys()) {
      if (this.total <= this.maxWeight) break;
      this.remove(oldest);
    }
  }

  clear(): void {
    for (const key of [...this.entries.keys()]) this.remove(key);
  }

  remove(key: string): void {
    const entry = this.entries.get(key);
    if (entry === undefined) return;
    this.entries.delete(key);
    this.total -= entry.weight;
    this.release(entry.value);
  }
}
