// What the core tells of itself, as a module of the page: units with their sizes, standard pipes, and the table of the site sheet. Asked of
// the core when the page is built, so that neither stands in the page by hand.
export const SYSTEMS = { metric: 'metric', bar: 'bar,m3/h', us: 'us' };

/** `ask`: a request of the door to its answer, both objects. */
export async function told(ask) {
  const units = {};
  for (const [system, wanted] of Object.entries(SYSTEMS)) {
    units[system] = Object.fromEntries((await ask({ do: 'units', units: wanted })).dimensions.map((one) => [one.dimension, one.shown]));
  }
  const sizes = Object.fromEntries((await ask({ do: 'units' })).dimensions.map((one) => [one.dimension,
    Object.fromEntries(one.sizes.map(({ unit, size, zero }) => [unit, [size, zero]]))]));
  const { version, requests } = await ask({ do: 'about' });
  const watches = requests.find((one) => one.do === 'advise').keys.find((one) => one.key === 'able').choices;
  const pipes = (await ask({ do: 'pipes' })).pipes.map((pipe) => pipe.name);
  const { schema } = await ask({ do: 'schema' });
  return { version, pipes, watches, units, sizes, fields: fields(schema), needs: needs(schema) };
}

/* What each kind of a list's items has to have: `needs.sources.mains` is ["pressure"], with what it may be: its own example, or "" for a
 * name that stands elsewhere on the sheet. */
function needs(schema) {
  const found = {};
  for (const [list, { items }] of Object.entries(schema.properties)) {
    for (const { if: of, then } of items?.allOf ?? []) {
      const kind = of.properties.kind?.const;
      if (kind === undefined) continue;
      const start = (key) => {
        const field = then.properties?.[key] ?? items.properties[key];
        return field.dimension || field.pattern ? field.examples?.[0] ?? '' : '';
      };
      (found[list] ??= {})[kind] = Object.fromEntries((then.required ?? []).map((key) => [key, start(key)]));
    }
  }
  return found;
}

/* Of each field of the sheet what the page must know: `vessels.precharge` is a pressure, `sources.kind` one of these. */
function fields(schema) {
  const found = {};
  const walk = (node, path) => {
    for (const [key, field] of Object.entries(node.properties ?? {})) {
      const below = path ? `${path}.${key}` : key;
      const one = field.type === 'array' ? field.items : field;
      found[below] = { ...(field.dimension && { dimension: field.dimension }), ...(field.enum && { options: field.enum }),
        ...(field.examples && { example: field.examples[0] }) };
      walk(one ?? {}, below);
      for (const other of [...(one?.oneOf ?? []), ...(one?.anyOf ?? [])]) walk(other, below);
    }
  };
  walk(schema, '');
  return found;
}

/** The plugin that lets the page import `core:told`. */
export function toldPlugin(ask) {
  return {
    name: 'told',
    setup(build) {
      build.onResolve({ filter: /^core:told$/ }, () => ({ path: 'told', namespace: 'told' }));
      build.onLoad({ filter: /.*/, namespace: 'told' }, async () => ({
        contents: `export const told = ${JSON.stringify(await told(ask))}`, loader: 'js',
      }));
    },
  };
}

/** The core in this process. */
export async function askWasm(bytes) {
  const { instance } = await WebAssembly.instantiate(bytes, {});
  const e = instance.exports;
  e._initialize();
  return (request) => {
    const text = new TextEncoder().encode(JSON.stringify(request));
    const at = e.pw_wasm_alloc(text.length);
    new Uint8Array(e.memory.buffer).set(text, at);
    const found = e.pw_wasm_answer(at, text.length);
    const memory = new Uint8Array(e.memory.buffer);
    const answer = JSON.parse(new TextDecoder().decode(memory.subarray(found, memory.indexOf(0, found))));
    e.pw_wasm_free(at);
    e.pw_wasm_free(found);
    if (!answer.ok) throw new Error(`the core refuses ${request.do}`);
    return answer;
  };
}
