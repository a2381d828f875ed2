import { useApp } from '../app-context.ts';
import { text } from '../text/text.ts';

/** Before a session may only look, or ends, and while it may only look. */
export function SessionNotice() {
  const { session } = useApp();
  const t = text.value.accounts;
  const warning = session.warning.value;
  const isIdle = session.state.value?.state === 'idle';
  return (
    <div class="session-notice" role="status">
      {warning !== null && (
        <p>
          {(warning.what === 'idle' ? t.warnIdle : t.warnEnd)(String(warning.minutes))}{' '}
          <button
            type="button"
            onClick={() => void (warning.what === 'idle' ? session.stay() : session.signInAgain())}
          >
            {warning.what === 'idle' ? t.stay : t.signIn}
          </button>
        </p>
      )}
      {isIdle && warning === null && (
        <p>
          {t.idle}{' '}
          <button type="button" onClick={() => void session.signInAgain()}>
            {t.signIn}
          </button>
        </p>
      )}
    </div>
  );
}
