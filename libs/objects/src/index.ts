export { BlockWriter } from './block-writer.js';
export { digestOf, isDigest } from './digest.js';
export { isDiskFull } from './durable-file.js';
export { FileObjectStore } from './file-object-store.js';
export { compareStores, type Difference, fillReplica } from './fill-replica.js';
export { withLocalFile } from './local-file.js';
export { MirroredObjectStore, type MirrorReports } from './mirrored-object-store.js';
export {
  type ByteRange,
  type ByteSource,
  isFault,
  type KeepOptions,
  type Leftover,
  type ListedObject,
  type NamedOptions,
  type ObjectFault,
  type ObjectStore,
  ObjectStoreError,
  type PutOptions,
  type RetainClass,
  type StoredBytes,
  type TendedStore,
} from './object-store.js';
export {
  lateArchiveStore,
  openArchiveStore,
  type StorePlaces,
  storeReports,
  storesOf,
} from './open-archive-store.js';
export { openObjectStore, type S3Access } from './open-object-store.js';
export type { Owed } from './owed.js';
export { S3ObjectStore } from './s3-object-store.js';
