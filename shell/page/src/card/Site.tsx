/* The stretch "Site": how to begin, then the questions in the order in which a site is walked. */
import { useRef, useState } from 'preact/hooks';
import { maybe, useWords } from '../i18n/words';
import { GROUPS, base, kindOf, type Group, type Question } from '../sheet/questions';
import { assumedIn } from '../sheet/assumed';
import { valueAt, type Plain } from '../sheet/plain';
import { beginOf, hasFile } from '../sheet/trace';
import { edit, setFile, store } from '../state/job';
import { useStore } from '../state/store';
import { Picture } from '../draw/Picture';
import { Safety, siteCautions } from './Caution';
import { Curve } from './Curve';
import { Field, Problems } from './Field';
import { Counts, Numbers, Spans } from './Lists';
import { Sign } from './Look';
import { TakenPanel } from './Taken';

type Item = { [key: string]: Plain };

function useGroup(group: Group): Item[] {
  const text = useStore(store, (state) => {
    const at = group.id === 'site' ? state.sheet.site : valueAt(state.sheet.site ?? undefined, [group.id]);
    return JSON.stringify(group.list ? (Array.isArray(at) ? at : []) : [at ?? {}]);
  });
  return JSON.parse(text) as Item[];
}

function applies(group: Group, question: Question, item: Item): boolean {
  return !question.when || question.when.is.includes(kindOf(group.id, item));
}

function Asked({ group, question, index }: { group: Group; question: Question; index: number }) {
  const at = base(group, index);
  if (question.kind === 'curve') return <Curve base={[...at, ...question.path]} index={index} />;
  if (question.kind === 'counts') return <Counts group={group.id} base={at} question={question} />;
  if (question.kind === 'numbers' || question.kind === 'words') return <Numbers group={group.id} base={at} question={question} />;
  if (question.kind === 'spans') return <Spans group={group.id} base={at} question={question} />;
  if (question.kind === 'name') return <Name group={group.id} index={index} question={question} />;
  return <Field group={group.id} base={at} question={question} />;
}

function Name({ group, index, question }: { group: string; index: number; question: Question }) {
  const t = useWords();
  const path = [group, index, ...question.path];
  const value = useStore(store, (state) => String(valueAt(state.sheet.site ?? undefined, path) ?? ''));
  const id = `name-${group}-${index}`;
  const [taken, take] = useState<string | null>(null); // a name that another item of the list has: nothing is changed
  const put = (name: string): void => {
    const has = namesIn(group).some((other, i) => i !== index && other === name);
    take(has ? name : null);
    if (!has) edit.name(group, index, name);
  };
  return (
    <div class="field">
      <label for={id}>{t('q.name')}</label>
      <input type="text" id={id} value={taken ?? value} data-path={`${group}[${index}].name`} autocomplete="off" aria-invalid={taken !== null ? 'true' : undefined}
        onChange={(event) => put(event.currentTarget.value.trim())} />
      {taken !== null && <p class="error" role="alert">{t('site.taken', { name: taken })}</p>}
      <Problems path={`${group}[${index}].name`} />
    </div>
  );
}

function summary(group: string, item: Item): string {
  const parts: Record<string, (string | undefined)[]> = {
    places: ['level'], sources: ['kind', 'standing water level'], pumps: [], lines: ['pipe', 'length'], vessels: ['volume', 'precharge'],
    tanks: ['area', 'depth'], filters: ['line', 'clean drop'], outlets: ['at'], sensors: ['kind', 'at'], demand: ['flow', 'for', 'at'],
  };
  const words = (parts[group] ?? []).map((key) => item[key!]).filter((value) => typeof value === 'string');
  if (group === 'lines' && typeof item.name !== 'string') words.unshift(`${item.from}-${item.to}`);
  return words.join(', ');
}

function ItemCard({ group, index, item, open }: { group: Group; index: number; item: Item; open: boolean }) {
  const t = useWords();
  const asked = group.questions.filter((question) => applies(group, question, item));
  const [wide, setWide] = useState(open);
  const title = String(item.name ?? item.outlet ?? summary(group.id, item));
  return (
    <details class="item" open={wide} onToggle={(event) => setWide(event.currentTarget.open)}>
      <summary><b>{title}</b> <span>{summary(group.id, item)}</span> <Sign path={`${group.id}[${index}]`} /></summary>
      {wide && (
        <div class="fields">
          {asked.filter((question) => !question.more).map((question) => <Asked group={group} question={question} index={index} />)}
          {asked.some((question) => question.more) && (
            <MoreFields group={group} index={index} questions={asked.filter((question) => question.more)} />
          )}
          <button type="button" class="quiet" onClick={() => edit.remove([group.id, index])}>{t('site.remove', { name: title })}</button>
        </div>
      )}
    </details>
  );
}

function MoreFields({ group, index, questions }: { group: Group; index: number; questions: Question[] }) {
  const t = useWords();
  const [open, setOpen] = useState(false);
  return (
    <details class="more" open={open} onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>{t('site.more')}</summary>
      {open && <div class="fields">{questions.map((question) => <Asked group={group} question={question} index={index} />)}</div>}
    </details>
  );
}

function namesIn(list: string): string[] {
  const items = store.get().sheet.site?.[list];
  return Array.isArray(items) ? items.map((item) => String((item as Item).name ?? '')) : [];
}

function addTo(group: Group): void {
  const unused = (name: string): string => {
    const taken = namesIn(group.id);
    let found = name;
    for (let i = 2; taken.includes(found); i++) found = `${name} ${i}`;
    return found;
  };
  edit.add([group.id], group.blank!(namesIn, unused));
}

/* What stands in a group, in a line. */
function groupSummary(group: Group, items: Item[]): string {
  if (!group.list) return '';
  return items.map((item) => String(item.name ?? item.outlet ?? summary(group.id, item))).join(', ');
}

/* A group is opened to be changed; closed it says what stands there, and whether something in it is wrong. */
function GroupCard({ group }: { group: Group }) {
  const language = useStore(store, (state) => state.language);
  const items = useGroup(group);
  const [open, setOpen] = useState(false);
  return (
    <details class="group" id={`group-${group.id}`} open={open} onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>
        <Picture of={group.id} />
        <h3>{maybe(language, `g.${group.id}`) ?? group.id}</h3>
        <span class="in-short">{groupSummary(group, items)}</span>
        <Sign path={group.id} within={group.id !== 'site'} />
      </summary>
      {open && <Opened group={group} items={items} />}
    </details>
  );
}

function Opened({ group, items }: { group: Group; items: Item[] }) {
  const language = useStore(store, (state) => state.language);
  const says = maybe(language, `g.${group.id}.says`);
  const count = useRef(items.length); // an item that comes while the group is open was added here: it is opened
  return (
    <>
      {says && <p class="says">{says}</p>}
      <Problems path={group.id === 'site' ? '' : group.id} />
      {group.list ? items.map((item, index) => (
        <>
          <Problems path={`${group.id}[${index}]`} />
          <ItemCard key={index} group={group} index={index} item={item} open={items.length === 1 || index >= count.current} />
        </>
      )) : (
        <div class="fields">
          {group.questions.filter((question) => !question.more).map((question) => <Asked group={group} question={question} index={0} />)}
          {group.questions.some((question) => question.more) && (
            <MoreFields group={group} index={0} questions={group.questions.filter((question) => question.more)} />
          )}
        </div>
      )}
      {group.list && <button type="button" class="add" onClick={() => addTo(group)}>{maybe(language, `g.${group.id}.add`) ?? '+'}</button>}
      {group.id === 'demand' && items.map((item) => <Measured trace={item.trace} />)}
    </>
  );
}

/* A measured flow: is its file at hand? It can be given to the job here. */
function Measured({ trace }: { trace: Plain | undefined }) {
  const t = useWords();
  const file = trace && typeof trace === 'object' && !Array.isArray(trace) ? String(trace.file ?? '') : '';
  const known = useStore(store, (state) => hasFile(file, state.files));
  const begins = useStore(store, (state) => beginOf(file, state.files)); // so that its columns can be named
  const picker = useRef<HTMLInputElement>(null);
  if (!file) return null;
  return (
    <div>
      <p class={known ? 'says' : 'warning'}>{t(known ? 'site.traceKnown' : 'site.traceMissing', { file })}</p>
      {known && <><p class="says">{t('site.traceBegins')}</p><pre class="file" tabIndex={0}>{begins}</pre></>}
      <button type="button" class="quiet" onClick={() => picker.current?.click()}>{t('site.traceGive')}</button>
      <input ref={picker} type="file" class="unseen" tabIndex={-1} accept=".csv,.txt" aria-label={t('site.traceGive')}
        onChange={(event) => { void event.currentTarget.files?.[0]?.text().then((text) => setFile(file, text)); }} />
    </div>
  );
}

export function Site() {
  const t = useWords();
  const invented = useStore(store, (state) => state.sheet.site?.invented === true);
  const taken = useStore(store, (state) => assumedIn(state.sheet).length > 0);
  const cautions = useStore(store, (state) => siteCautions(state.sheet.site).join(' '));
  return (
    <>
      <p class="says">{t('site.says')}</p>
      <TakenPanel />
      {invented && !taken && <p class="row real"><em class="tag">{t('site.invented')}</em> <span>{t('site.invented.says')}</span>
        <button type="button" onClick={() => edit.remove(['invented'])}>{t('site.real')}</button></p>}
      <div class="groups">{GROUPS.map((group) => <GroupCard group={group} />)}</div>
      <Safety names={cautions.split(' ')} />
    </>
  );
}
