/** What the assembly is given: one picture of one shard, lying on a light box, with its scale. */
export interface ShardPicture {
  readonly shardId: string;
  readonly widthPx: number;
  readonly heightPx: number;
  /** Upright sRGB, three bytes a pixel, row by row. */
  readonly rgb: Uint8Array;
  readonly pxPerMm: number;
}

/** Why a picture cannot be used; the message tells the person what to do. */
export class ShardError extends Error {
  constructor(
    readonly fault: 'no-shard' | 'too-small' | 'cut-off' | 'coarse' | 'frame',
    message: string,
    /** The shard it is about; null when it is about the whole tray. */
    readonly shardId: string | null = null,
  ) {
    super(message);
    this.name = 'ShardError';
  }
}
