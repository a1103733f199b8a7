/** Door of shards: a broken piece's fragments out of their pictures, and how they may lie together. */
export type { Certainty } from './certainty.js';
export type { MissingPart } from './missing.js';
export { type Pose, pictureMatrix } from './pose.js';
export { type AssemblyOptions, proposeAssembly, readShard } from './propose.js';
export type { Shard } from './shard-face.js';
export { ShardError, type ShardPicture } from './shard-picture.js';
export type { Assembly, Joint, PlacedShard } from './tell-assembly.js';
export {
  type LaidJoint,
  type LaidShard,
  type LaidShards,
  laidRing,
  type ShardEdge,
  shardEdge,
  shardRing,
  tellLaid,
} from './tell-laid.js';
