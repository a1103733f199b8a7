-- The hashes of a log's tree as full tiles of 256 with their root, in place of a row for every node.
CREATE TABLE "log_tile" (
    "log_id" TEXT NOT NULL,
    "level" INTEGER NOT NULL,
    "index" BIGINT NOT NULL,
    "hashes" BYTEA NOT NULL,
    "root" BYTEA NOT NULL,

    CONSTRAINT "log_tile_pkey" PRIMARY KEY ("log_id","level","index")
);

-- Every eighth level of nodes are the hashes of a level of tiles; the node eight levels above 256 of
-- them is their root. Tiles that are not full are read from the entries and the tiles below.
INSERT INTO log_tile (log_id, level, index, hashes, root)
SELECT t.log_id, t.level, t.index, t.hashes, r.hash
FROM (
    SELECT log_id, level / 8 AS level, index / 256 AS index, string_agg(hash, '' ORDER BY log_node.index) AS hashes
    FROM log_node WHERE level % 8 = 0
    GROUP BY log_id, level / 8, log_node.index / 256
    HAVING count(*) = 256
) t
JOIN log_node r ON r.log_id = t.log_id AND r.level = 8 * (t.level + 1) AND r.index = t.index;

DROP TABLE log_node;
