import type { OverJoints, PassTypes } from '#core/messages/api-watch';
import { useApp } from '../../app-context.ts';
import { Pick } from '../../parts/pick.tsx';
import { text } from '../../text/text.ts';
import type { ChangesRoute } from './changes-route.ts';
import { ClosureLevels } from './closure-levels.tsx';
import { typeKey } from './level-rows.ts';
import { OVER_QUANTITIES, type OverQuantity } from './over-quantities.ts';
import { RigLevels } from './rig-levels.tsx';
import { useRead } from './use-read.ts';

type Over = Extract<ChangesRoute, { view: 'changesOver' }>;

/** Joints looked back on: more than a day of a spread. */
const LIMIT = '200';

/** A pass type picked, then one quantity of it over the joints. What is picked stands in the address. */
export function OverJointsView({ route }: { readonly route: Over }) {
  const { api, go } = useApp();
  const t = text.value.changes;
  const o = t.over;
  const types = useRead('pass types', () => api.get<PassTypes>(['pass-types']));
  const all = types.value?.types ?? [];
  const picked = all.find(type => typeKey(type) === route.type) ?? all[0] ?? null;
  const key = picked === null ? '' : typeKey(picked);
  return (
    <>
      <h1>{o.title}</h1>
      <p>{o.intro}</p>
      {types.failure !== null && (
        <p class="message nodata" role="alert">
          {t.failed(types.failure)}
        </p>
      )}
      {types.value === null && types.failure === null && <p>{t.loading}</p>}
      {types.value !== null && all.length === 0 && <p>{o.none}</p>}
      {picked !== null && (
        <>
          <div class="form-sheet">
            <div class="field">
              <label for="over-type">{o.type}</label>
              <select
                id="over-type"
                value={key}
                onChange={event => go({ ...route, type: event.currentTarget.value })}
              >
                {all.map(type => (
                  <option key={typeKey(type)} value={typeKey(type)}>
                    {o.typeOf(type.procedureId, type.pass, type.passes)}
                    {type.origin === 'real' ? '' : ` ${text.value.origin[type.origin]}`}
                  </option>
                ))}
              </select>
            </div>
            <Pick
              name="over-quantity"
              legend={o.what}
              options={OVER_QUANTITIES.map(value => ({ value, label: t.quantity[value] ?? value }))}
              value={route.quantity}
              error={null}
              pick={value => go({ ...route, type: key, quantity: value as OverQuantity })}
            />
          </div>
          <Levels key={key} type={picked} quantity={route.quantity} />
        </>
      )}
    </>
  );
}

interface LevelsProps {
  readonly type: PassTypes['types'][number];
  readonly quantity: OverQuantity;
}

function Levels({ type, quantity }: LevelsProps) {
  const { api } = useApp();
  const t = text.value.changes;
  const { procedureId, pass, origin } = type;
  const { value, failure } = useRead(typeKey(type), () =>
    api.get<OverJoints>(['over-joints'], { procedureId, pass, origin, limit: LIMIT }),
  );
  if (failure !== null) {
    return (
      <p class="message nodata" role="alert">
        {t.failed(failure)}
      </p>
    );
  }
  if (value === null) return <p>{t.loading}</p>;
  if (quantity === 'closure') return <ClosureLevels closures={value.closures} />;
  return <RigLevels passes={value.passes} quantity={quantity} />;
}
