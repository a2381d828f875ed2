/**
 * Rows of the joint list, made from records and entries and to be made again at any time, and the joints whose row is
 * not what it should be: whatever may change a row marks its joint, in the file itself, so that nothing is forgotten.
 * No trigger relies on OR IGNORE: SQLite puts the conflict rule of the statement that fired it in its place.
 */

/** Marks what `joints` names, once each. */
const mark = (joints: string): string =>
  `INSERT INTO joint_list_stale (joint) SELECT DISTINCT joint FROM (${joints})
      WHERE joint IS NOT NULL AND joint NOT IN (SELECT joint FROM joint_list_stale);`;

/** Every joint that a pass was ever moved to. */
const movesOf = (passId: string): string =>
  `SELECT json_extract(body, '$.joint') AS joint FROM journal
      WHERE kind = 'passMoved' AND json_extract(body, '$.passId') = ${passId}`;

const ASSIGNED = `SELECT json_extract(work, '$.joint') AS joint FROM assignments
      WHERE site = NEW.site AND rig = NEW.rig AND work IS NOT NULL`;

export const JOINT_LIST_STEP = `
  CREATE TABLE joint_list (
    joint TEXT PRIMARY KEY,
    origin TEXT NOT NULL,
    last_utc TEXT NOT NULL,
    first_arc TEXT, last_arc TEXT,
    search TEXT NOT NULL,
    station TEXT NOT NULL,
    rigs TEXT NOT NULL,
    procedure_id TEXT, procedure_revision INTEGER,
    deviations INTEGER NOT NULL,
    disposition TEXT,
    incomplete INTEGER NOT NULL,
    summary TEXT NOT NULL
  ) STRICT;
  CREATE INDEX joint_list_by_last ON joint_list (last_utc, joint);
  CREATE TABLE joint_list_stale (
    n INTEGER PRIMARY KEY AUTOINCREMENT,
    joint TEXT NOT NULL UNIQUE
  ) STRICT;

  INSERT OR IGNORE INTO joint_list_stale (joint)
    SELECT joint FROM (
      SELECT joint, max(end_utc) AS at FROM passes WHERE joint IS NOT NULL GROUP BY joint
      UNION ALL SELECT substr(subject, 7), max(at) FROM journal WHERE subject LIKE 'joint %' GROUP BY subject
      UNION ALL SELECT json_extract(work, '$.joint'), max(at) FROM assignments WHERE work IS NOT NULL GROUP BY 1
    ) ORDER BY at;

  CREATE TRIGGER joint_list_pass AFTER INSERT ON passes BEGIN
    ${mark('SELECT NEW.joint AS joint')}
    ${mark(movesOf('NEW.pass_id'))}
  END;
  CREATE TRIGGER joint_list_pass_again AFTER UPDATE ON passes BEGIN
    ${mark('SELECT OLD.joint AS joint UNION SELECT NEW.joint')}
    ${mark(movesOf('NEW.pass_id'))}
  END;
  CREATE TRIGGER joint_list_entry AFTER INSERT ON journal WHEN NEW.subject LIKE 'joint %' BEGIN
    ${mark('SELECT substr(NEW.subject, 7) AS joint')}
  END;
  CREATE TRIGGER joint_list_move AFTER INSERT ON journal WHEN NEW.kind = 'passMoved' BEGIN
    ${mark("SELECT joint FROM passes WHERE pass_id = json_extract(NEW.body, '$.passId')")}
    ${mark(movesOf("json_extract(NEW.body, '$.passId')"))}
  END;
  CREATE TRIGGER joint_list_assignment AFTER INSERT ON assignments BEGIN
    ${mark(`${ASSIGNED} ORDER BY n DESC LIMIT 2`)}
  END;
  CREATE TRIGGER joint_list_rig AFTER UPDATE OF origin ON rigs WHEN NEW.origin IS NOT OLD.origin BEGIN
    ${mark(ASSIGNED)}
  END;
  CREATE TRIGGER joint_list_procedure AFTER INSERT ON procedures BEGIN
    ${mark('SELECT joint FROM joint_list WHERE procedure_id = NEW.id AND procedure_revision = NEW.revision')}
  END;
`;
