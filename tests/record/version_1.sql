-- A record as version 1 of the schema wrote it: two pages in one channel, one in another.
BEGIN TRANSACTION;
CREATE TABLE about (
	"key" TEXT NOT NULL, 
	value TEXT NOT NULL, 
	PRIMARY KEY ("key")
);
INSERT INTO "about" VALUES('version','1');
CREATE TABLE cuts (
	channel TEXT NOT NULL, 
	page TEXT NOT NULL, 
	number INTEGER NOT NULL, 
	who TEXT NOT NULL, 
	words TEXT NOT NULL, 
	event TEXT, 
	PRIMARY KEY (channel, page, number), 
	FOREIGN KEY(channel, page) REFERENCES pages (channel, id)
);
INSERT INTO "cuts" VALUES('low-ferry','2026-01-02-1',1,'Ann','the tide is out',NULL);
CREATE TABLE entries (
	channel TEXT NOT NULL, 
	id INTEGER NOT NULL, 
	page TEXT NOT NULL, 
	kind TEXT NOT NULL, 
	who TEXT NOT NULL, 
	at TEXT NOT NULL, 
	text TEXT NOT NULL, 
	read TEXT NOT NULL, 
	ruleset TEXT NOT NULL, 
	sides TEXT NOT NULL, 
	faces TEXT NOT NULL, 
	declared BOOLEAN NOT NULL, 
	data TEXT NOT NULL, 
	reply TEXT NOT NULL, 
	event TEXT, 
	PRIMARY KEY (channel, id), 
	UNIQUE (channel, event), 
	FOREIGN KEY(channel, page) REFERENCES pages (channel, id)
);
INSERT INTO "entries" VALUES('low-ferry',1,'2026-01-02-1','dice','Ann','2026-01-02T20:00:00+00:00','dice 3d6','dice 3d6','standard','[6,6,6]','[3,3,1]',0,'{"faces":[3,3,1],"faces_by":{"10":1,"2":1}}','{"blocks":[{"block":"line","strong":true,"text":"3 3 1"}],"data":{"faces":[3,3,1],"id":1},"kind":"dice","offers":[],"private":false,"title":"#1 dice 3d6"}','m1');
INSERT INTO "entries" VALUES('low-ferry',2,'2026-01-02-1','table','Bo','2026-01-02T20:00:00+00:00','dice 3d6','a round begins','','[]','[]',0,'{}','{"blocks":[],"data":{"said":"a round begins"},"kind":"table","offers":[],"private":false,"title":"a round begins"}',NULL);
INSERT INTO "entries" VALUES('low-ferry',3,'2026-01-02-1','dice','Bo','2026-01-02T20:00:00+00:00','dice 4d3','dice 4d3','standard','[3,3,3,3]','[2,3,2,2]',0,'{"faces":[2,3,2,2],"faces_by":{"10":1,"2":1}}','{"blocks":[{"block":"line","strong":true,"text":"2 3 2 2"}],"data":{"faces":[2,3,2,2],"id":3},"kind":"dice","offers":[],"private":false,"title":"#3 dice 4d3"}',NULL);
INSERT INTO "entries" VALUES('low-ferry',4,'2026-01-02-2','dice','Ann','2026-01-02T20:00:00+00:00','dice 2d20','dice 2d20','standard','[20,20]','[7,10]',0,'{"faces":[7,10],"faces_by":{"10":1,"2":1}}','{"blocks":[{"block":"line","strong":true,"text":"7 10"}],"data":{"faces":[7,10],"id":4},"kind":"dice","offers":[],"private":false,"title":"#4 dice 2d20"}',NULL);
INSERT INTO "entries" VALUES('high-ferry',1,'2026-01-02-1','dice','Ann','2026-01-02T20:00:00+00:00','dice 3d6','dice 3d6','standard','[6,6,6]','[6,6,1]',0,'{"faces":[6,6,1],"faces_by":{"10":1,"2":1}}','{"blocks":[{"block":"line","strong":true,"text":"6 6 1"}],"data":{"faces":[6,6,1],"id":1},"kind":"dice","offers":[],"private":false,"title":"#1 dice 3d6"}',NULL);
CREATE TABLE memory (
	channel TEXT NOT NULL, 
	who TEXT NOT NULL, 
	kept TEXT NOT NULL, 
	PRIMARY KEY (channel, who)
);
INSERT INTO "memory" VALUES('low-ferry','Ann','{"last":"dice 2d20"}');
CREATE TABLE pages (
	channel TEXT NOT NULL, 
	id TEXT NOT NULL, 
	number INTEGER NOT NULL, 
	opened TEXT NOT NULL, 
	closed TEXT, 
	closed_by_event TEXT, 
	commitment TEXT NOT NULL, 
	secret TEXT, 
	PRIMARY KEY (channel, id), 
	UNIQUE (channel, number)
);
INSERT INTO "pages" VALUES('low-ferry','2026-01-02-1',1,'2026-01-02T20:00:00+00:00','2026-01-02T20:00:00+00:00','m2','3d251c87d2a6b4fde3baad8197284ee6411649b19b66c32a23a75ab3503d376a','697e4e7590efd6d86a5a9092874e213ebcfb95e0ef9b2d984cac8b2b501941fa');
INSERT INTO "pages" VALUES('low-ferry','2026-01-02-2',2,'2026-01-02T20:00:00+00:00',NULL,NULL,'c2615dcfd9b3649842ffa86fbe8c89c388df26c3096a1aad8fa3d9de2fa88d82','2294d38aab125aa7db6470626e871fc03b88e3d025d5875a27e7547e80352ee1');
INSERT INTO "pages" VALUES('high-ferry','2026-01-02-1',1,'2026-01-02T20:00:00+00:00',NULL,NULL,'76e539292ceaf741767cd9173a6c3d4d6710a358ebcf84f55ef2f26b82239c26','9638361411d73697b2648dcd4e2e41bacd2b255040938aa243bb05b6b0af0df8');
COMMIT;
