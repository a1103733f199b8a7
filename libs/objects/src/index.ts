export { digestOf, isDigest } from './digest.js';
export { FileObjectStore } from './file-object-store.js';
export { withLocalFile } from './local-file.js';
export {
  type ByteRange,
  type ByteSource,
  type ObjectFault,
  type ObjectStore,
  ObjectStoreError,
  type StoredBytes,
} from './object-store.js';
export { openObjectStore } from './open-object-store.js';
export { S3ObjectStore } from './s3-object-store.js';
