/** Injection tokens of what has no class of its own. */
export const CONFIG = Symbol('MullionConfig');
export const POOL = Symbol('PgPool');
export const OBJECTS = Symbol('ObjectStore');
export const BOSS = Symbol('PgBoss');
