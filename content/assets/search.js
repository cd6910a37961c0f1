/* The search: reads the book's own index, from disk or from a server, and shows the pages that hold every word before
   those that hold some. What a reader sees in words stands in the page. Of many sites the index holds the heads; what
   is said of those of a group is read when the group is chosen, or when the search is come to from one of its pages. */
(() => {
  const { MiniSearch, stemmer } = searchLibrary, { pages, same, units, common } = searchIndex;
  const MOST = 30, AROUND = 90;

  const literal = text => text.replace(/[.*+?^${}()|[\]\\\/]/g, "\\$&").replace(/ /g, "\\s+");
  const either = texts => texts.sort((one, other) => other.length - one.length).map(literal).join("|");
  /* Words for one thing, and names of one unit, become the first of their list. */
  const first = lists => new Map(lists.flatMap(list => list.map(text => [text, list[0]])));
  const spaced = text => text.replace(/\s+/g, " ");
  const ofUnit = first(units), ofWord = first(same), names = new Set(ofUnit.values()), passed = new Set(common);
  const afterNumber = new RegExp(`(\\d)\\s*(${either([...ofUnit.keys()])})(?![\\p{L}\\d])`, "gu");
  const words = new RegExp(`(^|[^\\p{L}\\d])(${either([...ofWord.keys()])})(?:s|es)?(?![\\p{L}\\d])`, "gu");
  const TOKEN = /[\p{L}\p{N}°Ω%]+(?:[.\/](?=\d)[\p{L}\p{N}°Ω%]+)*/gu;

  const plain = text => text.normalize("NFKC").toLowerCase().replace(/['’]/g, "")
    .replace(afterNumber, (_, digit, unit) => digit + ofUnit.get(spaced(unit)))
    .replace(words, (_, before, word) => before + ofWord.get(spaced(word)).replace(/ /g, ""));
  const stem = token => /^\p{L}{4,}$/u.test(token) ? stemmer(token) : token;
  const tokens = text => (plain(text).match(TOKEN) || []).map(stem);
  /* A quantity is found as a whole, and by its unit. */
  const indexed = token => {
    const unit = token.replace(/^[\d.,\/]+/, "");
    return unit !== token && names.has(unit) ? [token, unit] : token;
  };

  /* A page by the fields that are searched: what it is called and what people call it, its headings, its text. Each is
     read once, as tokens between spaces, so that words that stand together are found together. */
  const read = (page, place) => ({
    place,
    title: ` ${tokens(page.title).join(" ")} `,
    also: ` ${page.also.split(", ").map(text => tokens(text).join(" ")).join(" | ")} `,
    heads: ` ${page.parts.map(part => tokens(part[1]).join(" ")).join(" | ")} `,
    text: ` ${page.parts.map(part => tokens(part[2]).join(" ")).join(" | ")} `,
  });
  const fields = pages.map(read);
  const index = new MiniSearch({
    idField: "place",
    fields: ["title", "also", "heads", "text"],
    tokenize: text => text.split(/[ |]+/).filter(token => token),
    processTerm: indexed,
    searchOptions: {
      tokenize: text => text.split(" "),
      processTerm: token => token,
      boost: { title: 6, also: 6, heads: 2 },
      boostDocument: (place, _term) => together(fields[place]),
    },
  });
  index.addAll(fields);

  const wanted = query => {
    const all = tokens(query), telling = all.filter(token => !passed.has(token));
    return [...new Set(telling.length ? telling : all)];
  };
  /* How much a page gains where the words of a query stand in it side by side, as they were typed. */
  let phrase = "";
  const together = page => {
    if (!phrase.trim().includes(" ")) return 1;
    return page.title.includes(phrase) || page.also.includes(phrase) ? 3 : page.heads.includes(phrase) ? 2
      : page.text.includes(phrase) ? 1.5 : 1;
  };

  /* The pages of a query, best first: those with every word, then (`all` false) those with some. */
  const find = query => {
    const asked = wanted(query).join(" ");
    phrase = ` ${asked} `;
    if (!asked) return [];
    const look = options => index.search(asked, { prefix: token => token.length > 1, ...options });
    let every = look({ combineWith: "AND" });
    if (!every.length) every = look({ combineWith: "AND", fuzzy: token => token.length > 4 && 0.2 });
    const have = new Set(every.map(hit => hit.id));
    const some = look({ combineWith: "OR" }).filter(hit => !have.has(hit.id));
    return [...every.map(hit => [hit, true]), ...some.map(hit => [hit, false])]
      .slice(0, MOST).map(([hit, all]) => ({ page: pages[hit.id], terms: hit.terms, all }));
  };

  /* The part of a page that holds most of the words found, and the text around the first of them. */
  const best = (page, terms) => {
    let most = [-1, page.parts[0]];
    for (const part of page.parts) {
      const held = new Set(tokens(`${part[1]} ${part[2]}`).flatMap(indexed));
      const count = terms.filter(term => held.has(term)).length;
      if (count > most[0]) most = [count, part];
    }
    return most[1];
  };
  const shortened = text =>
    text.length > 2 * AROUND ? `${text.slice(0, text.lastIndexOf(" ", 2 * AROUND))} …` : text;
  const excerpt = (text, terms) => {
    const pieces = text.split(/( +)/), hit = piece => tokens(piece).some(token => terms.includes(token));
    const place = Math.max(0, pieces.findIndex(hit));
    const before = pieces.slice(0, place).join(""), from = Math.max(0, before.length - AROUND);
    const start = from ? before.indexOf(" ", from) + 1 : 0;
    const line = document.createElement("p");
    if (start) line.append("… ");
    for (const piece of shortened(before.slice(start) + pieces.slice(place).join("")).split(/( +)/)) {
      if (!hit(piece)) { line.append(piece); continue; }
      const marked = document.createElement("mark");
      marked.textContent = piece;
      line.append(marked);
    }
    return line;
  };

  const form = document.querySelector("form.find"), box = form.elements.q;
  const list = document.getElementById("found"), said = document.getElementById("said");
  const item = ({ page, terms, all }) => {
    const [anchor, head, text] = best(page, terms), one = document.createElement("li"), link = document.createElement("a");
    link.href = page.url + (anchor ? `#${anchor}` : "");
    link.textContent = page.title;
    one.className = all ? "" : "some";
    one.append(link);
    if (head && head !== page.title) one.append(` › ${head}`);
    one.append(excerpt(text, terms));
    return one;
  };
  const choice = document.getElementById("group"), places = new Map(pages.map((page, place) => [page.url, place]));
  searchIndex.found = more => {
    for (const page of more) {
      const place = places.get(page.url);
      pages[place] = { ...page, group: pages[place].group };
      index.replace(fields[place] = read(pages[place], place));
    }
    show();
  };
  const load = group => {
    for (const file of group.files.splice(0)) {
      const script = document.createElement("script");
      script.src = file;
      document.body.append(script);
    }
  };
  if (choice) {
    choice.append(...searchIndex.groups.map((group, place) => new Option(group.name, place)));
    choice.addEventListener("change", () => choice.value && load(searchIndex.groups[choice.value]));
    const from = new URLSearchParams(location.search).get("from"), near = pages[places.get(`${from}.html`)];
    if (near) {
      choice.value = near.group;
      load(searchIndex.groups[near.group]);
    }
  }
  const show = () => {
    const query = box.value.trim(), found = query ? find(query) : [];
    const every = found.filter(one => one.all).length;
    list.replaceChildren(...found.map(item));
    const word = !query ? "nothing" : every ? "found" : found.length ? "some" : "none";
    said.textContent = word === "nothing" ? "" : said.dataset[word].replace("{number}", every);
    history.replaceState(null, "", query ? `?q=${encodeURIComponent(query)}` : location.pathname);
  };
  form.addEventListener("submit", event => event.preventDefault());
  box.addEventListener("input", show);
  box.value = new URLSearchParams(location.search).get("q") || "";
  box.focus();
  show();
})();
