export { digestOf, isDigest } from './digest.js';
export { FileObjectStore } from './file-object-store.js';
export { withLocalFile } from './local-file.js';
export {
  type ByteRange,
  type ByteSource,
  isFault,
  type KeepOptions,
  type ListedObject,
  type NamedOptions,
  type ObjectFault,
  type ObjectStore,
  ObjectStoreError,
  type PutOptions,
  type RetainClass,
  type StoredBytes,
} from './object-store.js';
export { openObjectStore, type S3Access } from './open-object-store.js';
export { S3ObjectStore } from './s3-object-store.js';
