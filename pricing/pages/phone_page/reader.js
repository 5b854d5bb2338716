const tokens_words = (() => {
 const { DIGITS, SIGNS, read_digits } = digits_words;
 const SAID = {  };
 const STOPS = ",.;:!?()[]{}|\n\r\t";
 function is_digits(text) {
   let c;
  return ((text !== "") && (py.len(py.each(text).filter((c) => (!py.has(c, DIGITS))).map((c) => (c))) === 0));
 }
 function is_letters(text) {
   let c, other;
  other = py.add(STOPS, "\"'-/+&#%°*=<>_~^$€£¥₹");
  return ((text !== "") && (py.len(py.each(text).filter((c) => ((py.has(c, DIGITS)) || (py.has(c, other)))).map((c) => (c))) === 0));
 }
 const AS_TYPED = { ...py.fromkeys("’‘`´ʼ", "'"), ...py.fromkeys("“”″", "\""), ...py.fromkeys("–—−", " - "), ...py.fromkeys("   ", " ") };
 const SHORT = py.split("min mins hr hrs yr yrs mi ft cu lb lbs approx elec apt est avg appt no", " ");
 const WRITTEN = [["three quarters of an hour", "45 minutes"], ["quarter of an hour", "15 minutes"], ["quarter hour", "15 minutes"], ["quarter hr", "15 minutes"], ["gasdryer", "gas dryer"], ["gasstove", "gas stove"], ["gasrange", "gas range"], ["electricdryer", "electric dryer"], ["so-so", "fair"], ["o.b.o", "obo"], [" er ", " or "], ["elevators broke", "elevator is broke"], [" flite", " flight"], ["ovr the", "over the"], ["coin flip", "50/50"], ["coin toss", "50/50"], ["toss up", "50/50"]];
 const COUNT_WORDS = ["two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"];
 function tidied(text) {
   let c, count, digit, n, out, plainly, said, small, word;
  out = "";
  for (c of py.each(text)) {
   if ((py.has(c, AS_TYPED))) {
    out = py.more(out, AS_TYPED[c]);
   } else {
    if (((c.codePointAt(0) > 8192) && (!py.has(c, SIGNS)) && (!py.has(c, "™")))) {
     out = py.more(out, " , ");
    } else {
     out = py.more(out, c);
    }
   }
  }
  for (n of py.range(2, 13)) {
   count = py.add(py.add("(", String(n)), ") ");
   small = COUNT_WORDS[(n - 2)];
   for (word of [small, py.add(small[0].toUpperCase(), small.slice(1))]) {
    out = out.replaceAll(py.add(py.add(word, " "), count), py.add(String(n), " "));
   }
   out = out.replaceAll(count, py.add(String(n), " "));
  }
  for ([said, plainly] of py.each(WRITTEN)) {
   out = out.replaceAll(said, plainly);
  }
  out = out.replaceAll(" one's ", " one is ").replaceAll(" One's ", " one is ");
  out = py.add(py.add(" ", out), " ").replaceAll(" 1/2 ", " ½ ").replaceAll(" 1/2h", " ½ h").trim();
  for (digit of py.each(DIGITS)) {
   out = out.replaceAll(py.add(" .", digit), py.add(" 0.", digit)).replaceAll(py.add(digit, " ½"), py.add(digit, ".5"));
   out = out.replaceAll(py.add(digit, "½"), py.add(digit, ".5"));
  }
  return out.replaceAll("½", "0.5");
 }
 function pieces(text) {
   let after, before, c, found, i, inside, size, word;
  found = [];
  word = "";
  size = py.len(text);
  for (i of py.range(size)) {
   c = text[i];
   before = ((i > 0) ? text[(i - 1)] : " ");
   after = ((py.add(i, 1) < size) ? text[py.add(i, 1)] : " ");
   inside = ((py.has(c, ".,:")) && (py.has(before, DIGITS)) && (py.has(after, DIGITS)));
   if (((c === ",") && py.truth(inside) && (_long_run(text, py.add(i, 1)) > 3))) {
    inside = false;
   }
   if (((c === " ") || ((py.has(c, STOPS)) && !py.truth(inside)))) {
    if ((word !== "")) {
     found.push(word);
    }
    word = "";
    if ((c !== " ")) {
     found.push(((py.has(c, "|\t")) ? "," : c));
    }
   } else {
    word = py.more(word, c);
   }
  }
  if ((word !== "")) {
   found.push(word);
  }
  return found;
 }
 function _long_run(text, start) {
   let end;
  end = start;
  while (((end < py.len(text)) && (py.has(text[end], DIGITS)))) {
   end = py.more(end, 1);
  }
  return (end - start);
 }
 function cut_word(piece) {
   let after, c, i, kind, now, parts, size, word;
  if ((py.truth(is_letters(piece[0])) && !py.truth(is_letters(piece)) && py.truth(_is_code(piece)))) {
   return [piece.replaceAll("-", "").replaceAll("#", "")];
  }
  parts = [];
  word = "";
  kind = "";
  size = py.len(piece);
  for (i of py.range(size)) {
   c = piece[i];
   after = ((py.add(i, 1) < size) ? piece[py.add(i, 1)] : "");
   if ((py.has(c, DIGITS))) {
    now = "n";
   } else {
    if (((py.has(c, ".,:")) && (kind === "n") && (after !== "") && (py.has(after, DIGITS)))) {
     now = "n";
    } else {
     if ((py.has(c, SIGNS))) {
      now = "$";
     } else {
      if ((py.has(c, "\"#%+&=*~°<>^_"))) {
       now = "x";
      } else {
       if ((py.has(c, "-/"))) {
        now = "-";
       } else {
        now = "a";
       }
      }
     }
    }
   }
   if (((now === "a") && (c === "'") && (kind !== "a"))) {
    now = "q";
   }
   if (((word !== "") && (!py.eq(now, kind)))) {
    parts.push(word);
    word = "";
   }
   word = py.more(word, c);
   kind = now;
   if ((py.has(now, "$x-q"))) {
    parts.push(word);
    word = "";
    kind = "";
   }
  }
  if ((word !== "")) {
   parts.push(word);
  }
  return _joined(parts);
 }
 function _is_code(piece) {
   let c, digits;
  digits = false;
  for (c of py.each(piece)) {
   if ((py.has(c, DIGITS))) {
    digits = true;
   } else {
    if (!(py.truth(is_letters(c)) || (py.has(c, "-#")))) {
     return false;
    }
   }
  }
  return (py.truth(digits) && !((py.has(piece[0], "xX")) && py.truth(is_digits(piece.slice(1)))));
 }
 function _joined(parts) {
   let after, before, i, out, part;
  out = [];
  for (i of py.range(py.len(parts))) {
   part = parts[i];
   if ((part === "-")) {
    before = ((i > 0) ? parts[(i - 1)] : "");
    after = ((py.add(i, 1) < py.len(parts)) ? parts[py.add(i, 1)] : "");
    if (((!py.nil(number_of(before))) && (!py.nil(number_of(after))))) {
     out.push("-");
    } else {
     if (((before === "") && (after !== ""))) {
      out.push("-");
     }
    }
   } else {
    if ((part === "/")) {
     before = ((i > 0) ? parts[(i - 1)] : "");
     after = ((py.add(i, 1) < py.len(parts)) ? parts[py.add(i, 1)] : "");
     if (((after === "") && (before === "w"))) {
      out[out.length - 1] = "with";
     } else {
      if (((before === "a") && (after === "c"))) {
       out[out.length - 1] = "a/";
      } else {
       if (((!py.nil(number_of(before))) && (!py.nil(number_of(after))))) {
        out.push("/");
       }
      }
     }
    } else {
     if (((part === "c") && (py.len(out) > 0) && (out[out.length - 1] === "a/"))) {
      out[out.length - 1] = "ac";
     } else {
      out.push(part);
     }
    }
   }
  }
  return out;
 }
 function number_of(text, mark = ".") {
   let found;
  if (((text === "") || (!py.has(text[0], DIGITS)))) {
   return null;
  }
  found = read_digits(text, mark, false)[0];
  return ((found === "") ? null : Number(found));
 }
 const TEENS = py.split("thirteen fourteen fifteen sixteen seventeen eighteen nineteen", " ");
 const SMALL = ["zero", "one", ...COUNT_WORDS, ...TEENS];
 const ONES = Object.fromEntries(py.range(20).map((n) => ([SMALL[n], n])));
 const TENS = { ["twenty"]: 20, ["thirty"]: 30, ["forty"]: 40, ["fourty"]: 40, ["fifty"]: 50, ["sixty"]: 60, ["seventy"]: 70, ["eighty"]: 80, ["ninety"]: 90, ["veinte"]: 20, ["treinta"]: 30, ["cuarenta"]: 40, ["cincuenta"]: 50, ["sesenta"]: 60, ["setenta"]: 70, ["ochenta"]: 80, ["noventa"]: 90 };
 function tokens_of(text, mark = ".") {
   let bracket, cut, part, piece, place, raw, stop, strong;
  raw = [];
  stop = 0;
  bracket = false;
  cut = pieces(tidied(text));
  for (place of py.range(py.len(cut))) {
   piece = cut[place];
   if ((py.has(piece, ["-", "--"]))) {
    if (py.truth(_is_range(raw, cut, place, mark))) {
     raw.push(_token("-", mark, stop));
    } else {
     stop = ((stop === 0) ? 1 : stop);
    }
    continue;
   }
   if (py.truth(_is_short(raw, cut, place))) {
    continue;
   }
   if (((py.has(piece, STOPS)) && (py.len(piece) === 1))) {
    strong = ((py.has(piece, ".!?;\n\r")) ? 2 : 1);
    bracket = (py.has(piece, "(["));
    stop = ((strong > stop) ? strong : stop);
    if (((py.has(piece, "?")) && (py.len(raw) > 0))) {
     raw[raw.length - 1]["ask"] = true;
    }
    continue;
   }
   for (part of cut_word(piece)) {
    if (((py.has(part, "*~_^<>=")) && (py.len(part) === 1))) {
     continue;
    }
    raw.push(_token(part, mark, stop));
    raw[raw.length - 1]["glued"] = (!py.eq(part, piece));
    raw[raw.length - 1]["bracket"] = bracket;
    bracket = false;
    stop = 0;
   }
  }
  return _numbers_in_words(_money_signs(_quoted_years(raw), mark));
 }
 function _is_short(raw, cut, place) {
   let after;
  after = ((py.add(place, 1) < py.len(cut)) ? cut[py.add(place, 1)][0] : "");
  if (((cut[place] !== ".") || (py.len(raw) === 0) || (!py.has(raw[raw.length - 1]["w"], SHORT)))) {
   return false;
  }
  return ((after !== "") && (py.eq(after, after.toLowerCase())) && (!py.has(after, STOPS)));
 }
 function _is_range(raw, cut, place, mark) {
   let after, piece, several, year;
  after = ((py.add(place, 1) < py.len(cut)) ? number_of(cut[py.add(place, 1)], mark) : null);
  several = (py.len(py.each(cut).filter((piece) => (piece === "-")).map((piece) => (piece))) > 2);
  if (((py.len(raw) === 0) || (py.nil(raw[raw.length - 1]["n"])) || (py.nil(after)) || py.truth(several))) {
   return false;
  }
  year = ((py.len(raw) > 1) && (raw[raw.length - 2]["w"] === "'"));
  return (!py.truth(year) && py.truth(py.truth((raw[raw.length - 1]["n"] < after && after < (1.6 * raw[raw.length - 1]["n"])))));
 }
 const NOTES = { ["tenner"]: 10.0, ["fiver"]: 5.0 };
 function _token(part, mark, stop) {
   let cap, one, small;
  small = part.toLowerCase();
  cap = (!py.eq(part[0], small[0]));
  one = { ["w"]: small, ["t"]: part, ["n"]: number_of(part, mark), ["money"]: "", ["stop"]: stop };
  if ((py.has(small, NOTES))) {
   one = { ...one, ["n"]: NOTES[small], ["money"]: "$" };
  }
  return { ...one, ["cap"]: cap, ["used"]: "", ["ask"]: false };
 }
 function _quoted_years(raw) {
   let after, i, one, out, two;
  out = [];
  i = 0;
  while ((i < py.len(raw))) {
   one = raw[i];
   after = ((py.add(i, 1) < py.len(raw)) ? raw[py.add(i, 1)] : null);
   if (((one["w"] === "'") && (!py.nil(after)) && (!py.nil(after["n"])))) {
    if ((py.len(after["t"]) === 2)) {
     two = py.int(after["n"]);
     after["n"] = Number(((two > 40) ? py.add(1900, two) : py.add(2000, two)));
     after["w"] = String(py.int(after["n"]));
     after["year"] = true;
    }
    after["stop"] = ((one["stop"] > after["stop"]) ? one["stop"] : after["stop"]);
    i = py.more(i, 1);
    continue;
   }
   if (((py.has(one["w"], ["'", "/"])) || ((one["w"] === "#") && (!py.nil(after))))) {
    if (((!py.nil(after)) && (one["stop"] > after["stop"]))) {
     after["stop"] = one["stop"];
    }
    if (((one["w"] === "#") && (!py.nil(after)) && (!py.nil(after["n"])))) {
     after["used"] = "no";
    }
    if (((one["w"] === "/") && (py.len(out) > 0) && (!py.nil(out[out.length - 1]["n"])))) {
     out.push(one);
    }
    i = py.more(i, 1);
    continue;
   }
   out.push(one);
   i = py.more(i, 1);
  }
  return out;
 }
 function _money_signs(raw, mark) {
   let after, either, i, last, one, out;
  out = [];
  i = 0;
  while ((i < py.len(raw))) {
   one = raw[i];
   after = ((py.add(i, 1) < py.len(raw)) ? raw[py.add(i, 1)] : null);
   if (((one["w"] === "-") && (!py.nil(after)) && (one["stop"] === 0) && (py.len(out) > 0))) {
    last = out[out.length - 1];
    if (((py.nil(last["n"])) && ((!py.nil(after["n"])) || (py.has(after["w"], SIGNS))))) {
     after["minus"] = true;
     i = py.more(i, 1);
     continue;
    }
   }
   if (((py.len(one["w"]) === 1) && (py.has(one["w"], SIGNS)))) {
    if (((!py.nil(after)) && (!py.nil(after["n"])) && (after["stop"] === 0))) {
     after["money"] = one["w"];
     after["stop"] = one["stop"];
     after["minus"] = (py.truth(py.get(one, "minus", false)) ? py.get(one, "minus", false) : py.get(after, "minus", false));
     i = py.more(i, 1);
     continue;
    }
    if (((py.len(out) > 0) && (!py.nil(out[out.length - 1]["n"])) && (one["stop"] <= 1))) {
     out[out.length - 1]["money"] = one["w"];
    }
    i = py.more(i, 1);
    continue;
   }
   if (((one["w"] === "k") && (py.len(out) > 0) && (!py.nil(out[out.length - 1]["n"])) && (one["stop"] === 0))) {
    out[out.length - 1]["n"] = (out[out.length - 1]["n"] * 1000);
    i = py.more(i, 1);
    continue;
   }
   if (((one["w"] === "hundred") && (py.len(out) > 0) && (!py.nil(out[out.length - 1]["n"])))) {
    if (((one["stop"] === 0) && (out[out.length - 1]["n"] < 100))) {
     out[out.length - 1]["n"] = (out[out.length - 1]["n"] * 100);
     out[out.length - 1]["hundreds"] = true;
     i = py.more(i, 1);
     continue;
    }
   }
   out.push(one);
   i = py.more(i, 1);
  }
  for (one of py.each(out)) {
   if (((one["money"] !== "") && (!py.nil(one["n"])))) {
    either = read_digits(one["t"], mark, true);
    if ((either[1] !== "")) {
     one["n"] = Number(either[0]);
    }
   }
   if ((py.truth(py.get(one, "minus", false)) && (!py.nil(one["n"])))) {
    one["n"] = -one["n"];
   }
  }
  return out;
 }
 function _numbers_in_words(raw) {
   let after, each, half, i, lone, longer, more, one, out, size, value, way, words;
  out = [];
  i = 0;
  while ((i < py.len(raw))) {
   [value, size] = _spelled(raw, i);
   if (((raw[i]["w"] === "hour") && py.truth(_stands_alone(raw, i)))) {
    py.insert(raw, i, ({ ...raw[i] }));
    raw[py.add(i, 1)]["stop"] = 0;
    [value, size] = [1.0, 1];
   }
   if (((size === 0) && (py.add(i, 1) < py.len(raw)) && (raw[py.add(i, 1)]["stop"] === 0))) {
    after = raw[py.add(i, 1)]["w"];
    way = (py.has(after, ["there", "round", "each", "drive", "away", "job", "of", "or"]));
    lone = ((raw[i]["w"] === "year") && (after === "old") && (!py.has("gone", raw[py.add(i, 1)])));
    lone = (py.truth(lone) ? lone : ((raw[i]["w"] === "hour") && py.truth(way)));
    lone = (py.truth(lone) && ((py.len(out) === 0) || (py.nil(out[out.length - 1]["n"]))));
    half = ((raw[i]["w"] === "hour") && py.truth(_and_a_half(raw, i)) && (!py.has("gone", raw[py.add(i, 1)])));
    if ((py.truth(half) || py.truth(lone))) {
     py.insert(raw, i, ({ ...raw[i] }));
     raw[py.add(i, 1)]["stop"] = 0;
     [value, size] = [1.0, 1];
    } else {
     if (((py.has(raw[i]["w"], ["a", "an"])) && (py.has(after, A_UNIT)))) {
      [value, size] = [1.0, 1];
     } else {
      if (((raw[i]["w"] === "half") && (py.has(after, ["an", "a"])) && (py.add(i, 2) < py.len(raw)))) {
       [value, size] = ((py.has(raw[py.add(i, 2)]["w"], ["hour", "hr", "mile"])) ? [0.5, 2] : [null, 0]);
      } else {
       if (((raw[i]["w"] === "half") && (py.has(after, ["hour", "hr"])))) {
        [value, size] = [0.5, 1];
       } else {
        if (((raw[i]["w"] === "a") && (py.has(after, ["hundred", "thousand"])))) {
         [value, size] = _spelled(raw, py.add(i, 1));
         size = py.add(size, 1);
        } else {
         if (((raw[i]["w"] === "buck") && (py.has(after, TENS)))) {
          [value, size] = [py.add(100.0, TENS[after]), 2];
         }
        }
       }
      }
     }
    }
   }
   if (((size > 0) && (!py.nil(value)) && py.truth(_and_a_half(raw, py.add(i, size))))) {
    for (one of raw.slice(py.add(py.add(i, size), 1), py.add(py.add(i, size), 4))) {
     one["gone"] = true;
    }
    value = py.more(value, 0.5);
   }
   if ((size === 0)) {
    out.push(raw[i]);
    i = py.more(i, 1);
    continue;
   }
   [more, longer] = _and_more(raw, py.add(i, size), value);
   size = py.more(size, longer);
   words = raw.slice(i, py.add(i, size)).map((each) => (each["w"])).join(" ");
   value = more;
   one = raw[i];
   one["w"] = words;
   one["t"] = words;
   one["n"] = value;
   one["spelled"] = !((1980 <= value && value <= 2100) && (size > 1));
   if (!py.truth(one["spelled"])) {
    one["t"] = String(py.int(value));
   }
   one["ask"] = raw[(py.add(i, size) - 1)]["ask"];
   out.push(one);
   i = py.more(i, size);
  }
  return py.each(out).filter((one) => !py.truth(py.get(one, "gone", false))).map((one) => (one));
 }
 const A_UNIT = ["hour", "mile", "year", "flight", "month", "week", "hr"];
 function _stands_alone(raw, i) {
   let alone, before, ends;
  before = ((i > 0) ? raw[(i - 1)] : raw[i]);
  ends = ((py.eq(py.add(i, 1), py.len(raw))) ? (py.eq(py.add(i, 1), py.len(raw))) : (raw[py.add(i, 1)]["stop"] > 0));
  alone = ((raw[i]["stop"] > 0) ? (raw[i]["stop"] > 0) : (py.has(before["w"], ["another", "extra"])));
  return (py.truth(ends) && py.truth(alone) && (before["w"] !== "hour") && (!py.has("gone", raw[i])));
 }
 function _and_more(raw, i, value) {
   let one, part, said;
  said = raw.slice(i, py.add(i, 3)).map((one) => (((one["stop"] === 0) ? one["w"] : "")));
  if (((py.len(said) === 3) && (py.eq(said.slice(0, 2), ["and", "a"])) && (py.has(said[2], ["half", "quarter"])))) {
   part = ((said[2] === "half") ? 0.5 : 0.25);
   return [py.add(value, (part * ((value >= 100) ? 100 : 1))), 3];
  }
  return [value, 0];
 }
 function _and_a_half(raw, i) {
   let k;
  if (((py.add(i, 3) >= py.len(raw)) || (!py.has(raw[i]["w"], ["hour", "hours", "year", "years", "mile", "miles"])))) {
   return false;
  }
  return (py.eq([1, 2, 3].map((k) => (raw[py.add(i, k)]["w"])), ["and", "a", "half"]));
 }
 function _goes_on(raw, i) {
  return ((i < py.len(raw)) && (raw[i]["stop"] === 0) && ((py.has(raw[i]["w"], TENS)) || (py.has(raw[i]["w"], ONES))));
 }
 function _spelled(raw, i) {
   let j, last, part, size, total, w;
  total = 0.0;
  part = 0.0;
  size = 0;
  last = "";
  for (j of py.range(i, py.len(raw))) {
   w = raw[j]["w"];
   if (((j > i) && (raw[j]["stop"] > 0))) {
    break;
   }
   if (((py.has(w, TENS)) && (py.has(last, ["", "hundred"])))) {
    part = py.more(part, TENS[w]);
    last = "tens";
   } else {
    if (((py.has(w, TENS)) && (last === "ones") && (part < 10) && (py.nil(raw[j]["n"])))) {
     part = py.add((part * 100), TENS[w]);
     last = "tens";
    } else {
     if (((last === "tens") && (part === 20) && ((9 < py.get(ONES, w, 0) && py.get(ONES, w, 0) < 20) || (py.get(TENS, w, 0) === 20)))) {
      part = py.add(2000.0, py.get(ONES, w, 20));
      last = ((py.has(w, TENS)) ? "tens" : "end");
     } else {
      if (((py.has(w, TENS)) && (part === 19) && (last === "teen") && (size === 1))) {
       part = py.add(1900.0, TENS[w]);
       last = "tens";
      } else {
       if (((py.has(w, ["and", "n"])) && (last === "hundred") && py.truth(_goes_on(raw, py.add(j, 1))))) {
        continue;
       } else {
        if (((w === "hundred") && (last === "end") && (part === 2.0))) {
         part = 200.0;
         last = "hundred";
        } else {
         if (((py.has(w, ONES)) && ((py.has(last, ["", "hundred"])) || ((last === "tens") && (0 < ONES[w] && ONES[w] < 10))))) {
          part = py.more(part, ONES[w]);
          last = ((ONES[w] < 10) ? "ones" : "teen");
         } else {
          if (((w === "hundred") && (py.has(last, ["", "ones", "teen", "tens"])) && (py.nil(raw[j]["n"])))) {
           part = (((part > 0) ? part : 1.0) * 100);
           last = "hundred";
          } else {
           if (((w === "thousand") && ((last !== "") || (j === 0) || (raw[(j - 1)]["w"] === "a")))) {
            total = py.more(total, (((part > 0) ? part : 1.0) * 1000));
            part = 0.0;
            last = "hundred";
           } else {
            if (((w === "couple") && (last === ""))) {
             part = 2.0;
             last = "end";
            } else {
             if (((w === "dozen") && (last === ""))) {
              part = 12.0;
              last = "end";
             } else {
              break;
             }
            }
           }
          }
         }
        }
       }
      }
     }
    }
   }
   size = py.add((j - i), 1);
  }
  return [((size > 0) ? py.add(total, part) : null), size];
 }
 return { SAID, STOPS, is_digits, is_letters, AS_TYPED, SHORT, WRITTEN, COUNT_WORDS, tidied, pieces, cut_word, number_of, TEENS, SMALL, ONES, TENS, tokens_of, NOTES, A_UNIT };
})();
const sayings_words = (() => {
 const { SAID, Table, Token, Tokens } = tokens_words;
 const KEEP_WHOLE = py.split("worked stopped used need needs was does ran gas dryer washer fuse noise sense bus plus this yes less glass bearing bearings ceiling building moving tubing wiring king string spring thing nothing something anything everything during going evening springs thes process freezer burned bed red feed speed weed seed wed shed led inches rinse ring bring series os us is as ac its has stainless cleaned smoked smoking needed untested tested dented plugged hosed", " ");
 const MOST_WORDS = 7;
 function stem(word) {
   let out;
  if (((py.len(word) < 4) || (py.has(word, KEEP_WHOLE)))) {
   return word;
  }
  out = word;
  if ((py.truth(out.endsWith("ing")) && (py.len(out) > 5))) {
   out = _single(out.slice(0, -3));
  } else {
   if ((py.truth(out.endsWith("ed")) && (py.len(out) > 4))) {
    out = _single(out.slice(0, -2));
   } else {
    if ((py.truth(out.endsWith("ies")) && (py.len(out) > 4))) {
     out = py.add(out.slice(0, -3), "y");
    } else {
     if ((py.truth(out.endsWith("es")) && (py.len(out) > 4))) {
      out = out.slice(0, -2);
     } else {
      if ((py.truth(out.endsWith("s")) && !py.truth(out.endsWith("ss")) && !py.truth(out.endsWith("us")))) {
       out = out.slice(0, -1);
      }
     }
    }
   }
  }
  if ((py.truth(out.endsWith("e")) && (py.len(out) > 3))) {
   out = out.slice(0, -1);
  }
  return out;
 }
 function _single(word) {
   let n;
  n = py.len(word);
  if (((n > 3) && (py.eq(word[(n - 1)], word[(n - 2)])) && (!py.has(word[(n - 1)], "lsz")))) {
   return word.slice(0, (n - 1));
  }
  return word;
 }
 function plain_words(words, tables) {
   let _, filler, hit, i, k, key, n, out, same, size, w;
  same = tables["same"];
  filler = tables["filler"];
  out = [];
  n = py.len(words);
  i = 0;
  while ((i < n)) {
   size = (((n - i) > 4) ? 4 : (n - i));
   hit = "";
   while ((size > 0)) {
    key = ((size > 1) ? words.slice(i, py.add(i, size)).join(" ") : words[i]);
    if ((py.has(key, same))) {
     hit = same[key];
     break;
    }
    size = size - 1;
   }
   if ((size === 0)) {
    size = 1;
    hit = words[i];
   }
   out.push(((py.has(hit, filler)) ? "" : py.split(hit, " ").map((w) => (stem(w))).join(" ")));
   for (_ of py.range((size - 1))) {
    out.push("");
   }
   i = py.more(i, size);
  }
  for (k of py.range((py.len(out) - 1))) {
   if (((out[k] === "no") && (py.has(out[py.add(k, 1)], py.get(tables, "doings", []))))) {
    out[k] = "not";
   }
  }
  return out;
 }
 function ready(tables) {
   let idle, key, name, only, place, said, sayings, word;
  if ((py.has("sayings", tables))) {
   return tables;
  }
  for (name of py.each(tables["listed"])) {
   SAID[name] = tables["listed"][name];
  }
  sayings = {  };
  idle = {  };
  for (place of py.range(py.len(tables["names"]))) {
   said = tables["names"][place][3];
   for (only of py.each(said)) {
    for (key of py.split(said[only], "|")) {
     if ((py.has(key, sayings))) {
      sayings[key].push([place, only]);
     } else {
      sayings[key] = [[place, only]];
     }
    }
   }
  }
  for (word of py.split(tables["idle"], " ")) {
   idle[word] = true;
  }
  tables["sayings"] = sayings;
  tables["idle_words"] = idle;
  return tables;
 }
 function saying_at(forms, start, end, tables) {
   let bare, e, entries, found, i, joins, key, n;
  found = [];
  key = "";
  bare = "";
  n = 0;
  i = start;
  while (((i < end) && (n < MOST_WORDS))) {
   if ((forms[i] !== "")) {
    key = ((key === "") ? forms[i] : py.add(py.add(key, " "), forms[i]));
    n = py.more(n, 1);
    joins = ((py.has(forms[i], ["and", "&"])) && (i > start));
    if (!py.truth(joins)) {
     bare = ((bare === "") ? forms[i] : py.add(py.add(bare, " "), forms[i]));
    }
    entries = py.get(tables["sayings"], key);
    if (((py.nil(entries)) && (!py.eq(bare, key)) && !py.truth(joins))) {
     entries = py.get(tables["sayings"], bare);
     if ((!py.nil(entries))) {
      entries = py.each(entries).filter((e) => (py.has(tables["names"][e[0]][0], ["fault", "finding"]))).map((e) => (e));
     }
    }
    if (((!py.nil(entries)) && (py.len(entries) > 0))) {
     found = [[py.add(i, 1), entries], ...found];
    }
   }
   i = py.more(i, 1);
  }
  return found;
 }
 function near_word(word, tables, typed = 0) {
   let allowed, best, best_at, d, gap, other, several, size;
  size = py.len(word);
  if ((size < 4)) {
   return "";
  }
  best = "";
  best_at = 3;
  several = false;
  for (other of py.get(_known_by(tables), word[0], [])) {
   gap = (py.len(other) - size);
   if (((gap > 2) || (gap < -2) || (py.len(other) < 4))) {
    continue;
   }
   d = slips(word, other);
   if ((d < best_at)) {
    best = other;
    best_at = d;
    several = false;
   } else {
    if (((py.eq(d, best_at)) && (py.eq(bare(other), bare(word))) && (!py.eq(bare(best), bare(word))))) {
     best = other;
    } else {
     if (((py.eq(d, best_at)) && (!py.eq(stem(other), stem(best))) && (!py.eq(bare(best), bare(word))))) {
      several = true;
     }
    }
   }
  }
  allowed = ((size < 8) ? 1 : 2);
  if (((best_at > allowed) || py.truth(several) || py.truth(_another_word(word, best)))) {
   return "";
  }
  if (((size === 4) && (typed < 6) && (!py.eq(py.sorted(word), py.sorted(best))))) {
   return "";
  }
  return best;
 }
 function _another_word(word, best) {
   let apart, i, vowels;
  if (((!py.eq(py.len(word), py.len(best))) || (py.eq(py.sorted(word), py.sorted(best))))) {
   return false;
  }
  apart = py.range(py.len(word)).filter((i) => (!py.eq(word[i], best[i]))).map((i) => (i));
  vowels = py.each(apart).filter((i) => ((py.has(word[i], "aeiouy")) && (py.has(best[i], "aeiouy")))).map((i) => (i));
  return ((py.len(apart) === 1) && (py.len(vowels) === 0));
 }
 function bare(word) {
   let c;
  return py.each(word).filter((c) => (!py.has(c, "aeiou"))).map((c) => (c)).join("");
 }
 function _known_by(tables) {
   let by, key, seen, word;
  if ((!py.has("by_letter", tables))) {
   by = {  };
   seen = {  };
   for (key of py.each(tables["sayings"])) {
    for (word of py.split(key, " ")) {
     if (((py.has(word, seen)) || (py.len(word) < 4))) {
      continue;
     }
     seen[word] = true;
     if ((py.has(word[0], by))) {
      by[word[0]].push(word);
     } else {
      by[word[0]] = [word];
     }
    }
   }
   tables["by_letter"] = by;
  }
  return tables["by_letter"];
 }
 function slips(a, b) {
   let cost, i, j, last, least, row, two_ago;
  two_ago = [];
  last = py.list(py.range(py.add(py.len(b), 1)));
  for (i of py.range(py.len(a))) {
   row = [py.add(i, 1)];
   least = py.add(i, 1);
   for (j of py.range(py.len(b))) {
    cost = ((py.eq(a[i], b[j])) ? last[j] : py.add(last[j], 1));
    if ((py.add(last[py.add(j, 1)], 1) < cost)) {
     cost = py.add(last[py.add(j, 1)], 1);
    }
    if ((py.add(row[j], 1) < cost)) {
     cost = py.add(row[j], 1);
    }
    if (((i > 0) && (j > 0) && (py.eq(a[i], b[(j - 1)])) && (py.eq(a[(i - 1)], b[j])))) {
     if ((py.add(two_ago[(j - 1)], 1) < cost)) {
      cost = py.add(two_ago[(j - 1)], 1);
     }
    }
    row.push(cost);
    least = ((cost < least) ? cost : least);
   }
   if ((least > 2)) {
    return 3;
   }
   two_ago = last;
   last = row;
  }
  return ((last[py.len(b)] < 3) ? last[py.len(b)] : 3);
 }
 function mend_typos(tokens, tables, own) {
   let done, mine, near, one, word;
  done = [];
  mine = _words_of(own);
  for (one of py.each(tokens)) {
   word = one["w"];
   if (((!py.nil(one["n"])) || (py.has(word, mine)))) {
    continue;
   }
   if ((py.truth(word.endsWith("'s")) && !py.truth(known(word, tables)) && py.truth(known(word.slice(0, -2), tables)))) {
    one["w"] = word.slice(0, -2);
   } else {
    if ((py.has(word, tables["typos"]))) {
     one["w"] = tables["typos"][word];
     if ((py.len(word) > 3)) {
      done.push({ ["said"]: one["t"], ["read"]: one["w"] });
     }
    } else {
     if (py.truth(_may_be_slip(one, tables))) {
      near = near_word(stem(word), tables, py.len(word));
      if ((near === "")) {
       near = near_word(word, tables);
      }
      if ((py.truth(word.endsWith("in")) && py.truth(known(py.add(word, "g"), tables)))) {
       one["w"] = py.add(word, "g");
      } else {
       if ((near !== "")) {
        one["w"] = near;
        done.push({ ["said"]: one["t"], ["read"]: near });
       }
      }
     }
    }
   }
  }
  return done;
 }
 function _may_be_slip(one, tables) {
   let word;
  word = one["w"];
  if (((py.len(word) < 4) || py.truth(known(word, tables)) || (py.has(word, tables["makers"])) || !py.truth(py.isalpha(word)))) {
   return false;
  }
  if ((py.has(word, SAID["other words"]))) {
   return false;
  }
  return (!py.truth(one["cap"]) ? !py.truth(one["cap"]) : py.truth(py.isupper(one["t"])));
 }
 function _words_of(own) {
   let kind, mine, said, word;
  mine = {  };
  for (kind of ["makers", "types", "faults", "repairs", "features"]) {
   for (said of py.list(py.get(own, kind, {  }))) {
    for (word of py.split(said, " ")) {
     mine[word] = true;
    }
   }
  }
  return mine;
 }
 function known(word, tables) {
   let key, said, words;
  if (((py.has(word, tables["idle_words"])) || (py.has(word, tables["same"])) || (py.has(word, tables["filler"])))) {
   return true;
  }
  if ((!py.has("known_words", tables))) {
   words = py.fromkeys(py.split(tables["known"], " "), true);
   for (key of py.each(tables["sayings"])) {
    for (said of py.split(key, " ")) {
     words[said] = true;
    }
   }
   tables["known_words"] = words;
  }
  return ((py.has(word, tables["known_words"])) ? (py.has(word, tables["known_words"])) : (py.has(stem(word), tables["known_words"])));
 }
 return { KEEP_WHOLE, MOST_WORDS, stem, plain_words, ready, saying_at, near_word, bare, slips, mend_typos, known };
})();
const amounts_words = (() => {
 const { DIGITS } = digits_words;
 const { SAID, Token, Tokens } = tokens_words;
 function clause_words(tokens, i, back) {
   let found, j;
  found = [];
  j = i;
  while (((j > 0) && (py.len(found) < back) && (tokens[j]["stop"] === 0))) {
   j = j - 1;
   found = [tokens[j]["w"], ...found];
  }
  return found;
 }
 function words_after(tokens, i, ahead) {
   let found, j;
  found = [];
  j = py.add(i, 1);
  while (((j < py.len(tokens)) && (py.len(found) < ahead) && (tokens[j]["stop"] === 0))) {
   found.push(tokens[j]["w"]);
   j = py.more(j, 1);
  }
  return found;
 }
 function _fits(pattern, tokens, start) {
   let choices, fits, i, k, number, one, optional, said;
  i = start;
  for (k of py.range(py.len(pattern))) {
   choices = pattern[k];
   optional = ((choices[0] === "?") && (choices !== "?"));
   if (py.truth(optional)) {
    choices = choices.slice(1);
   }
   one = ((i < py.len(tokens)) ? tokens[i] : null);
   fits = ((!py.nil(one)) && ((py.eq(i, start)) || (one["stop"] === 0)));
   if ((py.truth(fits) && (!py.nil(one)))) {
    number = (!py.nil(one["n"]));
    said = (py.add(py.add("|", choices), "|").indexOf(py.add(py.add("|", one["w"]), "|")) >= 0);
    fits = ((choices === "#") ? (py.truth(number) && (one["used"] === "")) : said);
   }
   if (py.truth(fits)) {
    i = py.more(i, 1);
   } else {
    if (!py.truth(optional)) {
     return 0;
    }
   }
  }
  return (i - start);
 }
 function take_numbers(tokens, patterns, moment, found) {
   let before, factor, i, one, pattern, role, row, said, size, wanted, when;
  _month_years(tokens, found);
  for (i of py.range(py.len(tokens))) {
   one = tokens[i];
   if (((py.nil(one["n"])) || (one["used"] !== ""))) {
    continue;
   }
   for (row of py.each(patterns)) {
    [role, factor, when, pattern, before] = row;
    if (((when !== "") && (when.indexOf(moment[0]) < 0))) {
     continue;
    }
    if (((i < before) || ((one["money"] !== "") && (!py.has(role, ["parts", "money"]))))) {
     continue;
    }
    if (((role === "made") && !(1930 <= one["n"] && one["n"] <= 2100))) {
     continue;
    }
    wanted = ((i > 0) && (one["stop"] === 0) && (py.has(tokens[(i - 1)]["w"], SAID["wanted"])));
    if (((role === "no") && (py.truth(wanted) || py.truth(_too_many(tokens, i))))) {
     continue;
    }
    if (((role === "size") && !py.truth(_a_size(tokens, i)))) {
     continue;
    }
    if (((role === "days_listed") && !py.truth(_on_market(tokens, i)))) {
     continue;
    }
    if (((role === "floor_nd") && !py.truth(_a_floor(tokens, i)))) {
     continue;
    }
    size = _fits(pattern, tokens, (i - before));
    said = tokens.slice(i, py.add(i, size)).filter((one) => (!py.nil(one["n"]))).map((one) => (one["n"]));
    if (((role === "odds") && ((py.sum(said) !== 100) || (py.len(said) < 2)))) {
     continue;
    }
    if ((size > before)) {
     _give([role, moment], factor, tokens, (i - before), size, i, found);
     break;
    }
   }
  }
 }
 function _month_years(tokens, found) {
   let i, one, start, year;
  for (i of py.range((py.len(tokens) - 2))) {
   year = _year_of_date(tokens, i);
   if ((year === 0)) {
    continue;
   }
   start = (((i > 1) && py.truth(_apart_at(tokens, (i - 1))) && py.truth(tokens[(i - 2)]["n"])) ? (i - 2) : i);
   for (one of tokens.slice(start, py.add(i, 3))) {
    one["used"] = "made";
   }
   for (one of tokens.slice(py.max((start - 2), 0), start)) {
    one["used"] = ((py.has(one["w"], SAID["made on"])) ? "made" : one["used"]);
   }
   found.push(["made", [year], py.add(i, 2)]);
  }
 }
 function _apart_at(tokens, i) {
  return ((py.has(tokens[i]["w"], ["/", "-"])) && py.truth(py.truth((tokens[i]["stop"] === 0))));
 }
 function _year_of_date(tokens, i) {
   let first, last, tail;
  [first, last] = [tokens[i]["n"], tokens[py.add(i, 2)]["n"]];
  if (((py.nil(first)) || (py.nil(last)) || !py.truth(_apart_at(tokens, py.add(i, 1))))) {
   return 0.0;
  }
  if (((py.len(tokens[i]["t"]) === 4) && (1980 <= first && first <= 2100) && (last <= 12))) {
   return Number(first);
  }
  tail = ((py.len(tokens[py.add(i, 2)]["t"]) === 4) && (1980 <= last && last <= 2100) && (first <= 31));
  return (py.truth(tail) ? Number(last) : 0.0);
 }
 function _too_many(tokens, i) {
   let after, money;
  after = words_after(tokens, i, 1);
  money = ((py.len(after) > 0) && (py.has(after[0], SAID["currency"])));
  return (py.truth(money) ? money : ((py.len(after) > 0) && (tokens[i]["n"] > 12) && (py.has(after[0], SAID["few of"]))));
 }
 function _on_market(tokens, i) {
   let after, near, word;
  after = words_after(tokens, i, 4);
  near = py.each(py.add(clause_words(tokens, i, 9), after)).filter((word) => (py.has(word, SAID["put up"]))).map((word) => (word));
  return ((py.len(near) > 0) && (!py.has("ago", after)));
 }
 function _a_floor(tokens, i) {
   let after, before, money;
  after = words_after(tokens, i, 1);
  money = ((py.len(after) > 0) && (py.has(after[0], SAID["currency"])));
  before = (((i > 1) && (py.has(tokens[(i - 1)]["w"], ["floor", "fl"]))) ? tokens[(i - 2)]["w"] : "");
  return ((tokens[i]["n"] <= 12) && !py.truth(money) && (!py.has(before, SAID["ordinals"])));
 }
 function _a_size(tokens, i) {
   let after, beyond, spent, word;
  after = ((py.add(i, 1) < py.len(tokens)) ? tokens[py.add(i, 1)]["w"] : "");
  if (((!py.has(after, ["in", "inch", "inches", "\""])) || py.truth(py.get(tokens[py.add(i, 1)], "glued", false)))) {
   return true;
  }
  beyond = words_after(tokens, i, 2);
  if (((after !== "\"") && (py.len(beyond) > 1) && (py.has(beyond[1], py.split("the it there parts already gas cash", " "))))) {
   return false;
  }
  spent = clause_words(tokens, i, 3).filter((word) => (py.has(word, SAID["no size"]))).map((word) => (word));
  return ((tokens[i]["n"] >= 10) && (py.len(spent) === 0));
 }
 function _spent_time(tokens, start, end) {
   let after, before;
  before = clause_words(tokens, start, 8);
  after = words_after(tokens, (end - 1), 4);
  if ((py.truth(has_phrase(after, SAID["spent after"])) || py.truth(has_phrase([...before.slice(-4), tokens[start]["w"]], SAID["ahead"])))) {
   return false;
  }
  return has_phrase([...before, "|", ...after], SAID["spent on"]);
 }
 function _give(what, factor, tokens, start, size, at, found) {
   let bought, j, moment, near, numbers, old, one, role, value, w;
  [role, moment] = what;
  value = ((tokens[at]["n"] * factor[0]) / factor[1]);
  numbers = tokens.slice(start, py.add(start, size)).filter((one) => (!py.nil(one["n"]))).map((one) => (one["n"]));
  if ((role === "money")) {
   tokens[at]["money"] = "$";
   for (j of py.range(py.add(at, 1), py.add(start, size))) {
    tokens[j]["used"] = "money";
   }
   return null;
  }
  if ((role === "unclear")) {
   for (j of py.range(start, py.add(start, size))) {
    tokens[j]["used"] = "open";
    tokens[j]["unclear"] = true;
   }
   return null;
  }
  old = (py.has(tokens[(py.add(start, size) - 1)]["w"], ["old", "yo", "o"]));
  if (((role === "age") && !py.truth(old) && py.truth(_stored(tokens, start, py.add(start, size))))) {
   role = "stood_years";
  }
  if (((role === "age") && !py.truth(old) && py.truth(_owned(tokens, start)))) {
   role = "owned";
  }
  if ((role === "ago")) {
   near = clause_words(tokens, start, 8);
   bought = py.each(near).filter((w) => (py.has(w, ["bought", "new", "purchased", "got", "installed"]))).map((w) => (w));
   role = ((py.len(bought) > 0) ? "age" : "no");
  }
  if (((role === "miles") && (value > 2000))) {
   return null;
  }
  if (((role === "hours") && (moment === "bench") && py.truth(_spent_time(tokens, start, py.add(start, size))))) {
   role = "spent_hours";
  }
  for (j of py.range(start, py.add(start, size))) {
   if ((tokens[j]["used"] === "")) {
    tokens[j]["used"] = role;
   }
  }
  _note(role, value, numbers, at, found);
 }
 function _note(role, value, numbers, at, found) {
   let k, most, shown, told;
  if ((role === "no")) {
   return null;
  }
  if ((role.slice(-4) === " and")) {
   for (k of py.range(py.len(numbers))) {
    shown = ((role === "size and") ? _plain(numbers[k]) : numbers[k]);
    found.push([role.slice(0, -4), shown, py.add(at, (2 * k))]);
   }
   return null;
  }
  most = ((py.len(numbers) > 1) ? py.max(numbers[1], 1.0) : 10.0);
  told = { ["age2"]: ["age", (py.sum(numbers) / py.len(numbers))], ["drive_both"]: ["drive_min", (value / 2)], ["of10"]: ["fix_chance", (value / most)], ["percent"]: ["fix_chance", (value / 100)], ["odds"]: ["fix_chance", (value / 100)], ["floor_nd"]: ["stairs", (value - 1)], ["size"]: [role, _plain(value)], ["made"]: [role, numbers] };
  found.push([...py.get(told, role, [role, value]), at]);
 }
 function _plain(value) {
  return ((py.eq(value, py.int(value))) ? String(py.int(value)) : String(value));
 }
 function _stored(tokens, start, end) {
   let after, said, w;
  after = words_after(tokens, (end - 1), 3);
  said = clause_words(tokens, start, 5).filter((w) => (py.has(w, SAID["stored"]))).map((w) => (w));
  said = py.more(said, clause_words(tokens, start, 1).filter((w) => (py.has(w, ["for", "after", "since"]))).map((w) => (w)));
  said = py.more(said, py.each(after).filter((w) => (py.has(w, ["storage", "garage", "shed", "barn", "since"]))).map((w) => (w)));
  return ((py.len(said) > 0) ? (py.len(said) > 0) : (py.eq(after.slice(0, 1), ["now"])));
 }
 function _owned(tokens, start) {
   let near, w;
  near = clause_words(tokens, start, 4).filter((w) => (py.has(w, SAID["owned"]))).map((w) => (w));
  return (py.len(near) > 0);
 }
 const DECADES = { ["fifties"]: 1950, ["sixties"]: 1960, ["seventies"]: 1970, ["eighties"]: 1980, ["nineties"]: 1990 };
 function take_years(tokens, found, year_now) {
   let after, both, decade, every, i, k, near, one, tens, value, w, word;
  for (i of py.range(py.len(tokens))) {
   one = tokens[i];
   after = ((py.add(i, 1) < py.len(tokens)) ? tokens[py.add(i, 1)] : null);
   if ((py.has(one["w"], DECADES))) {
    found.push(["made", py.range(10).map((k) => (Number(py.add(DECADES[one["w"]], k)))), i]);
    one["used"] = "made";
    continue;
   }
   if (((py.nil(one["n"])) || (one["used"] !== "") || (one["money"] !== ""))) {
    continue;
   }
   value = one["n"];
   every = (py.has(clause_words(tokens, i, 1), [["every"], ["after"], ["for"]]));
   tens = ((!py.nil(after)) && (py.has(after["w"], ["s", "'s", "ies"])) && (after["stop"] === 0));
   if (((!py.nil(after)) && py.truth(tens) && !py.truth(every))) {
    decade = ((value < 100) ? py.add(1900, value) : value);
    if ((((value < 100) || (value > 1900)) && (py.eq(decade, (10 * py.int((decade / 10))))))) {
     found.push(["made", py.range(10).map((k) => (py.add(decade, k))), i]);
     one["used"] = "made";
     after["used"] = "made";
    }
    continue;
   }
   if (py.truth(_two_figures(tokens, i, year_now))) {
    value = py.add(2000, value);
   }
   if ((!(1930 <= value && value <= year_now) || (!py.eq(value, py.int(value))) || py.truth(py.get(one, "spelled", false)))) {
    continue;
   }
   if (((!py.nil(after)) && (after["stop"] === 0) && (py.has(after["w"], ["btu", "miles", "watt"])))) {
    continue;
   }
   one["used"] = "made";
   near = clause_words(tokens, i, 5);
   if (((!py.eq(near.slice(-1), ["made"])) && (py.len(py.each(near).filter((w) => (py.has(w, SAID["not of it"]))).map((w) => (w))) > 0))) {
    one["used"] = "open";
    one["unclear"] = true;
    continue;
   }
   both = ((i > 0) && (tokens[(i - 1)]["w"] === "and"));
   if ((py.truth(_joins(tokens, i)) && !py.truth(both) && (py.len(found) > 0) && (found[found.length - 1][0] === "made"))) {
    found[found.length - 1][1] = _years(found[found.length - 1][1], value, tokens[(i - 1)]["w"]);
    tokens[(i - 1)]["used"] = "made";
    continue;
   }
   found.push(["made", [value], i]);
   for (word of tokens.slice(py.max((i - 2), 0), i)) {
    if (((py.has(word["w"], ["made", "built", "year", "from", "bought"])) && (word["used"] === ""))) {
     word["used"] = "made";
    }
   }
  }
 }
 function _two_figures(tokens, i, year_now) {
   let before, lead, text;
  text = tokens[i]["t"];
  if (((py.len(text) !== 2) || !(2000 <= py.add(2000, tokens[i]["n"]) && py.add(2000, tokens[i]["n"]) <= year_now))) {
   return false;
  }
  before = clause_words(tokens, i, 2);
  lead = ((py.len(before) > 0) && (py.has(before[before.length - 1], SAID["year before"])));
  return (py.truth(lead) && (py.truth(text.startsWith("0")) || py.truth(has_phrase(before, ["made in", "built in", "model"]))));
 }
 function _joins(tokens, i) {
   let joins;
  joins = ((i > 1) && (py.has(tokens[(i - 1)]["w"], ["or", "-", "to", "and", "/"])));
  return (py.truth(joins) && py.truth(py.truth((tokens[(i - 2)]["used"] === "made"))));
 }
 function _years(before, last, word) {
   let k;
  if (((py.has(word, ["-", "to"])) && (0 < (last - before[0]) && (last - before[0]) <= 40))) {
   return py.range(py.add(py.int((last - before[0])), 1)).map((k) => (py.add(before[0], k)));
  }
  return [...before, last];
 }
 function has_phrase(words, phrases) {
   let line, phrase;
  line = py.add(py.add(" ", words.join(" ")), " ");
  return (py.len(py.each(phrases).filter((phrase) => (line.indexOf(py.add(py.add(" ", phrase), " ")) >= 0)).map((phrase) => (phrase))) > 0);
 }
 function begins_with(words, phrases) {
   let line, phrase;
  line = py.add(words.join(" "), " ");
  return (py.len(py.each(phrases).filter((phrase) => py.truth(line.startsWith(py.add(phrase, " ")))).map((phrase) => (phrase))) > 0);
 }
 function money_role(tokens, i, moment) {
   let after, before, bid, gives, near, theirs, w;
  before = clause_words(tokens, i, 5);
  after = words_after(tokens, i, 7).filter((w) => (!py.has(w, SAID["currency"]))).map((w) => (w));
  if (((moment === "ask") && (py.len(after) > 1) && (py.has(after[1][0], DIGITS)))) {
   after = [];
  }
  bid = ((moment === "ask") && py.truth(has_phrase(before, SAID["bids"])));
  if ((!py.truth(bid) && py.truth(begins_with(after, SAID["part behind"])))) {
   return "parts";
  }
  near = ((moment === "bench") ? before.slice(-4) : before.slice(-2));
  if ((py.truth(has_phrase(near, ["parts", "part"])) && !py.truth(has_phrase(before, ["parts guy"])))) {
   return "parts";
  }
  if (py.truth(_spent_money(before, after, moment))) {
   return "spent_money";
  }
  if (((moment === "bench") && (py.truth(gets_part(before)) || (py.has(before.slice(-1), [["cost"], ["costs"]]))))) {
   return "parts";
  }
  if (py.truth(_new_price(before, after))) {
   return "no";
  }
  if (((moment === "offer") && py.truth(begins_with(after, ["to fix", "to repair", "to replace", "repair"])))) {
   return "no";
  }
  if ((moment === "bench")) {
   return "parts";
  }
  if ((moment === "ask")) {
   return _sale_role(before, after, tokens, i);
  }
  if ((py.truth(has_phrase(before, SAID["they pay"])) && !py.truth(has_phrase(before, ["can you", "can u"])))) {
   return "pays";
  }
  if (py.truth(has_phrase(before, ["pay", "pays", "paying"]))) {
   theirs = ["they", "they'll", "owner", "she", "he", "she'll", "he'll", "landlord", "will"];
   theirs = [...theirs, "me", "us", "you", "gladly", "who"];
   if ((py.truth(has_phrase(before, theirs)) || py.truth(begins_with(after, ["to have", "to haul", "to take"])))) {
    return "pays";
   }
  }
  gives = (py.truth(has_phrase(before, SAID["gives"])) ? has_phrase(before, SAID["gives"]) : has_phrase(after, SAID["they pay after"]));
  if ((py.truth(begins_with(after, ["to take it", "to haul", "to remove", "to whoever"])) && py.truth(gives))) {
   return "pays";
  }
  return "their_price";
 }
 function _spent_money(before, after, moment) {
   let later, spent;
  if ((py.truth(begins_with(after, SAID["spent behind"])) && ((moment === "bench") || (after[0] !== "so")))) {
   return true;
  }
  if (((moment === "bench") && py.truth(has_phrase(before, ["already", "paid"])))) {
   return true;
  }
  later = begins_with(after, SAID["spent on part"]);
  if (((moment === "bench") && ((py.eq(after, ["in"])) || (py.has("spent", after.slice(0, 4))) || py.truth(later)))) {
   return true;
  }
  spent = ((moment !== "offer") && py.truth(has_phrase(before.slice(-3), SAID["spent"])));
  spent = (py.truth(spent) && (!py.eq(before.slice(-2), ["dropped", "to"])));
  return (py.truth(spent) && !py.truth(has_phrase(before.slice(-3), ["haven't", "havent", "not spent"])));
 }
 function part_priced(before, after, n) {
   let ends, said, word, words;
  ends = ((py.len(after) === 0) ? (py.len(after) === 0) : (py.has(after[0], SAID["priced ends"])));
  words = py.each(before).filter((word) => (!py.has(word, SAID["priced"]))).map((word) => (word));
  said = ((py.len(words) > 0) && (py.has(words[words.length - 1], SAID["sells"])) && (!py.eq(before.slice(-1), ["to"])));
  return py.truth((py.truth(ends) && py.truth(said) && (3 <= n && n <= 400)));
 }
 const WHOLE = ["one", "ones", "unit", "washer", "dryer", "fridge", "range", "dishwasher", "machine"];
 function gets_part(before) {
   let gets, word;
  if ((py.eq(before.slice(-1), ["ordered"]))) {
   return true;
  }
  gets = before.slice(-3, -1).filter((word) => (py.has(word, SAID["gets"]))).map((word) => (word));
  if (((py.len(gets) > 0) && (py.has(before[before.length - 1], ["one", "ones"])))) {
   return true;
  }
  return ((py.len(gets) > 0) && py.truth(py.isalpha(before[before.length - 1])) && (!py.has(before[before.length - 1], WHOLE)));
 }
 function _new_price(before, after) {
   let bought;
  before = py.split(before.join(" ").replaceAll("like new", "like"), " ");
  if ((py.has(before[before.length - 1], SAID["asks now"]))) {
   return false;
  }
  if (py.truth(begins_with(after, ["new", "brand new", "when new", "retail", "new in"]))) {
   return true;
  }
  bought = ((py.has("bought", before)) && (before[before.length - 1] === "for"));
  if ((py.truth(has_phrase(before.slice(-3), SAID["paid new"])) || (before[before.length - 1] === "new") || py.truth(bought))) {
   return true;
  }
  return has_phrase(before, SAID["cost then"]);
 }
 function _sale_role(before, after, tokens, i) {
   let near, role, up, word;
  near = before.slice(-3);
  if (py.truth(begins_with(after, SAID["not a price"]))) {
   return "open";
  }
  for (role of ["asked_now", "mine"]) {
   if (py.truth(has_phrase(before, SAID[py.add("surely ", role)]))) {
    return role;
   }
  }
  if (py.truth(has_phrase(before, SAID["of others"]))) {
   return "no";
  }
  if (py.truth(begins_with(after, ["firm"]))) {
   return "asked_now";
  }
  if (py.truth(has_phrase(near, SAID["i want"]))) {
   return _wanted(tokens.slice(0, i), near);
  }
  if ((py.truth(begins_with(after, ["on it"])) && py.truth(has_phrase(before, SAID["had on"])))) {
   return "asked_now";
  }
  up = clause_words(tokens, i, 9).filter((word) => (py.has(word, SAID["put up"]))).map((word) => (word));
  if (((py.eq(before.slice(-1), ["at"])) && ((py.len(up) > 0) || py.truth(begins_with(after, SAID["so long"]))))) {
   return (py.truth(tokens[i]["ask"]) ? "mine" : "asked_now");
  }
  return _of_buyer(_sale_by_words(near, before, after, tokens[i]), tokens, i, after);
 }
 function _of_buyer(role, tokens, i, after) {
   let theirs;
  theirs = ((py.has(role, ["open", "mine"])) && (!py.has(after.slice(0, 1), [["ask"], ["is"]])));
  return ((py.truth(theirs) && py.truth(from_buyer(tokens, i, "ask"))) ? "offered" : role);
 }
 function _wanted(said, near) {
   let bids, one;
  bids = py.each(said).filter((one) => (one["used"] === "offered")).map((one) => (one));
  return (((py.len(bids) > 0) && (py.has("want", near))) ? "asked_now" : "mine");
 }
 function from_buyer(tokens, i, moment) {
   let bids, said;
  if ((moment !== "ask")) {
   return false;
  }
  said = clause_words(tokens, i, 9);
  bids = ((i > 0) && (py.len(said) === 0) && (py.has(tokens[(i - 1)]["w"], ["bid", "offer", "offered"])));
  return (py.truth(bids) ? bids : (py.truth(has_phrase(said, SAID["buyers"])) && !py.truth(has_phrase(said, SAID["no bids"]))));
 }
 function _sale_by_words(near, before, after, one) {
   let role, sure;
  if (py.truth(has_phrase(near.slice(-1), SAID["bids"]))) {
   return "offered";
  }
  for (role of ["offered", "asked_now", "mine"]) {
   if (py.truth(begins_with(after, SAID[py.add(role, " after")]))) {
    return role;
   }
  }
  if ((py.truth(has_phrase(before, ["listed", "asking"])) && !py.truth(has_phrase(near, SAID["offers"])))) {
   return "asked_now";
  }
  if (py.truth(has_phrase(near, SAID["asked"]))) {
   return "asked_now";
  }
  if ((py.truth(has_phrase(after, ["i think", "maybe", "is my guess"])) || py.truth(has_phrase(near, SAID["mine"])))) {
   if (!py.truth(has_phrase(before, ["offered", "offers", "bid"]))) {
    return "mine";
   }
  }
  if (py.truth(has_phrase(before, SAID["offered"]))) {
   return "offered";
  }
  if (py.truth(begins_with(after, ["tonight", "today", "cash today"]))) {
   return "offered";
  }
  sure = ((one["money"] !== "") ? (one["money"] !== "") : begins_with(after, SAID["asked behind"]));
  return ((py.truth(sure) && !py.truth(one["ask"])) ? "asked_now" : "open");
 }
 function says_free(tokens, i) {
   let after, before;
  before = (((i > 0) && (tokens[i]["stop"] === 0)) ? tokens[(i - 1)]["w"] : "");
  after = (((py.add(i, 1) < py.len(tokens)) && (tokens[py.add(i, 1)]["stop"] === 0)) ? tokens[py.add(i, 1)]["w"] : "");
  return ((!py.has(before, SAID["free not"])) && (!py.has(after, SAID["free other"])));
 }
 return { clause_words, words_after, take_numbers, DECADES, take_years, has_phrase, begins_with, money_role, part_priced, WHOLE, gets_part, from_buyer, says_free };
})();
const kinds_words = (() => {
 const { begins_with, clause_words, has_phrase, words_after } = amounts_words;
 const { known, saying_at } = sayings_words;
 const { SAID, Table, Tokens } = tokens_words;
 const PARTS = { ["washer"]: "washer", ["dryer"]: "dryer", ["fridge"]: "fridge", ["freezer"]: "fridge", ["oven"]: "range", ["cooktop"]: "range", ["microwave"]: "microwave", ["range"]: "range", ["ice maker machine"]: "fridge", ["electric dryer"]: "dryer", ["gas dryer"]: "dryer" };
 function mentions_of(tokens, forms, tables, own) {
   let away, bare, found, i, k, known, m, meant, n, one, other;
  found = [];
  i = 0;
  n = py.len(tokens);
  bare = py.range(n).map((k) => (((!py.has(tokens[k]["used"], ["size", "volts"])) ? forms[k] : "")));
  while ((i < n)) {
   one = _mention_at(tokens, forms, i, tables, own);
   other = _mention_at(tokens, bare, i, tables, own);
   if (((py.nil(one)) || ((!py.nil(other)) && (other["end"] > one["end"])))) {
    one = other;
   }
   if ((py.nil(one))) {
    i = py.more(i, 1);
    continue;
   }
   found.push(one);
   i = one["end"];
  }
  known = py.each(found).filter((one) => !py.truth(one["goods"])).map((one) => (one));
  found = py.each(found).filter((m) => !py.truth(_beside(tokens, m))).map((m) => (m));
  away = py.each(found).filter((m) => py.truth(begins_with(words_after(tokens, (m["end"] - 1), 3), SAID["not for sale"]))).map((m) => (m));
  away = py.more(away, py.each(found).filter((m) => py.truth(_of_another(tokens, m))).map((m) => (m)));
  away = py.more(away, py.each(found).filter((m) => (py.truth(m["goods"]) && py.truth(_only_there(tokens, m)))).map((m) => (m)));
  found = py.each(found).filter((m) => (!py.has(m, away))).map((m) => (m));
  meant = py.each(found).filter((m) => !py.truth(_denied_or_kept(tokens, m))).map((m) => (m));
  if ((py.len(meant) > 0)) {
   for (one of py.each(found).filter((m) => (!py.has(m, meant))).map((m) => (m))) {
    for (i of py.range(py.max((one["start"] - 2), 0), one["end"])) {
     tokens[i]["used"] = ((py.nil(tokens[i]["n"])) ? "idle" : tokens[i]["used"]);
    }
   }
   found = meant;
  }
  if ((py.len(py.each(found).filter((m) => !py.truth(m["goods"])).map((m) => (m))) === 0)) {
   found = py.more(found, _ice_maker(tokens));
  }
  if ((py.len(known) > 0)) {
   found = py.each(found).filter((m) => (!py.truth(m["goods"]) || (py.has(m["type"], tables["refused_goods"])))).map((m) => (m));
  }
  return found;
 }
 function _only_there(tokens, one) {
   let near, word;
  near = clause_words(tokens, one["start"], 3).filter((word) => (py.has(word, SAID["there"]))).map((word) => (word));
  return ((py.len(near) > 0) && !py.truth(_priced(tokens, one["start"])));
 }
 function _of_another(tokens, one) {
   let before, kin, own, word;
  before = clause_words(tokens, one["start"], 5);
  kin = py.each(before).filter((word) => (py.has(word, SAID["kin"]))).map((word) => (word));
  if (py.truth(has_phrase(clause_words(tokens, one["start"], 7), SAID["instead of it"]))) {
   return (one["start"] > 6);
  }
  own = has_phrase(before.slice(-2), ["has", "has the", "has a", "have the", "have", "kept the"]);
  return ((py.len(kin) > 0) && py.truth(own) && (one["start"] > 6));
 }
 function _denied_or_kept(tokens, one) {
   let before;
  before = clause_words(tokens, one["start"], 2).join(" ");
  return (py.has(before, SAID["not meant"]));
 }
 function _ice_maker(tokens) {
   let end, i, side, two, word;
  for (i of py.range(py.len(tokens))) {
   word = tokens[i]["w"];
   two = ((word === "ice") && (py.add(i, 1) < py.len(tokens)) && (py.has(tokens[py.add(i, 1)]["w"], ["maker", "makers"])));
   side = py.get({ ["FL"]: "front-load washer", ["TL"]: "top-load washer" }, tokens[i]["t"], "");
   if (((side !== "") && ((i === 0) || (tokens[i]["stop"] > 0)) && (py.len(words_after(tokens, i, 1)) === 0))) {
    return [{ ["start"]: i, ["end"]: py.add(i, 1), ["type"]: side, ["goods"]: false }];
   }
   if ((py.truth(two) || (word === "icemaker"))) {
    end = (py.truth(two) ? py.add(i, 2) : py.add(i, 1));
    return [{ ["start"]: i, ["end"]: end, ["type"]: "ice maker machine", ["goods"]: false }];
   }
  }
  return [];
 }
 function _beside(tokens, one) {
   let before;
  before = ((one["start"] > 0) ? tokens[(one["start"] - 1)]["w"] : "");
  if (((before === "price") || ((before === "new") && (tokens[one["start"]]["w"] === "glass")))) {
   return true;
  }
  return ((one["type"] === "side-by-side fridge") && (py.has(before, SAID["stands"])));
 }
 function _mention_at(tokens, forms, i, tables, own) {
   let best, end, entry, goods, hit, key, kinds, many, mine, name, one, t, turned, words;
  goods = listed_at(tokens, i, tables["other_goods"], 4);
  kinds = py.get(own, "types", {  });
  mine = listed_at(tokens, i, kinds, 6);
  best = null;
  if (((forms[i] !== "") && (py.has(tokens[i]["used"], ["", "size"])))) {
   end = py.add(i, 1);
   while (((end < py.len(tokens)) && (tokens[end]["stop"] === 0) && (end < py.add(i, 8)))) {
    end = py.more(end, 1);
   }
   for (hit of saying_at(forms, i, end, tables)) {
    for (entry of py.each(hit[1])) {
     name = tables["names"][entry[0]];
     many = tokens.slice(i, hit[0]).filter((t) => (py.has(t["w"], ["washers", "dryers"]))).map((t) => (t["w"]));
     if ((py.truth(name[2].endsWith("pair")) && (py.len(many) === 1))) {
      continue;
     }
     if (((py.has(name[0], ["type", "plain word"])) && (py.nil(best)))) {
      best = { ["start"]: i, ["end"]: hit[0], ["type"]: name[2], ["goods"]: false };
     }
    }
    if ((!py.nil(best))) {
     break;
    }
   }
  }
  if (((mine > 0) && ((py.nil(best)) || (py.add(i, mine) >= best["end"])))) {
   key = tokens.slice(i, py.add(i, mine)).map((one) => (one["w"])).join(" ");
   return { ["start"]: i, ["end"]: py.add(i, mine), ["type"]: kinds[key], ["goods"]: false };
  }
  turned = _own_in_words(tokens, i, py.get(own, "by_words", {  }), tables);
  if (((!py.nil(turned)) && ((py.nil(best)) || (turned["end"] > best["end"])))) {
   return turned;
  }
  if (((goods > 0) && ((py.nil(best)) || (py.add(i, goods) > best["end"])))) {
   words = tokens.slice(i, py.add(i, goods)).map((one) => (one["w"])).join(" ");
   return { ["start"]: i, ["end"]: py.add(i, goods), ["type"]: words, ["goods"]: true };
  }
  return best;
 }
 function _own_in_words(tokens, i, by_words, tables) {
   let end, found, key, words;
  if (((py.len(by_words) === 0) || (tokens[i]["used"] !== "") || (!py.nil(tokens[i]["n"])))) {
   return null;
  }
  words = [];
  found = null;
  for (end of py.range(i, py.min(py.add(i, 6), py.len(tokens)))) {
   if (((end > i) && (tokens[end]["stop"] > 0))) {
    break;
   }
   words = [...words, tokens[end]["w"]];
   key = py.sorted(words).join(" ");
   if (((py.has(key, by_words)) && ((end > i) || !py.truth(known(key, tables))))) {
    found = { ["start"]: i, ["end"]: py.add(end, 1), ["type"]: by_words[key], ["goods"]: false };
   }
  }
  return found;
 }
 function listed_at(tokens, i, listed, most) {
   let best, key, n;
  key = "";
  best = 0;
  for (n of py.range(most)) {
   if (((py.add(i, n) >= py.len(tokens)) || ((n > 0) && (tokens[py.add(i, n)]["stop"] > 0)))) {
    break;
   }
   key = ((n === 0) ? tokens[i]["w"] : py.add(py.add(key, " "), tokens[py.add(i, n)]["w"]));
   if ((py.has(key, listed))) {
    best = py.add(n, 1);
   }
  }
  return best;
 }
 function is_plain(name, tables) {
  return (py.has(name, tables["kinds"]));
 }
 function part_family(unit, said, tables) {
   let both, families, family, kind, no_oven, no_top;
  if (((py.eq(unit, said)) || ((unit.slice(0, 6) === "commer") && (py.has(said.slice(-6), ["washer", " dryer"]))))) {
   return "same";
  }
  both = py.get(tables["families"], unit, []);
  if (((py.len(both) > 1) && (py.has(py.get(PARTS, said, ""), both)))) {
   return PARTS[said];
  }
  if ((py.truth(is_plain(said, tables)) && (py.has(unit, tables["kinds"][said])))) {
   return "same";
  }
  if ((py.truth(is_plain(unit, tables)) && py.truth(is_plain(said, tables)))) {
   if ((py.has(tables["kinds"][said][0], tables["kinds"][unit]))) {
    return "same";
   }
  }
  if ((!py.has(said, PARTS))) {
   return "";
  }
  family = PARTS[said];
  if (py.truth(is_plain(unit, tables))) {
   kind = tables["kinds"][unit][0];
  } else {
   kind = unit;
  }
  families = py.get(tables["families"], kind, []);
  if ((!py.has(family, families))) {
   return "";
  }
  if (((py.has(family, ["washer", "dryer"])) && (py.len(families) < 2))) {
   return ((py.eq(said, family)) ? "same" : "");
  }
  if ((py.has(kind, ["compact fridge", "chest freezer", "upright freezer", "ice maker machine"]))) {
   return ((said === "ice maker machine") ? "" : "same");
  }
  no_oven = ((py.has(said, ["oven", "range"])) && (py.has(kind, ["electric cooktop", "gas cooktop"])));
  no_top = ((said === "cooktop") && (py.has(kind, ["wall oven", "double wall oven"])));
  return ((py.truth(no_oven) || py.truth(no_top) || (kind === "range hood")) ? "" : family);
 }
 function units_of(tokens, mentions, tables) {
   let before, labelled, one, two, units, word;
  units = [];
  for (one of py.each(mentions)) {
   before = ((one["start"] > 0) ? tokens[(one["start"] - 1)] : null);
   word = (((!py.nil(before)) && (tokens[one["start"]]["stop"] === 0)) ? before["w"] : "");
   two = (((one["start"] > 1) && (word !== "")) ? tokens[(one["start"] - 2)]["w"] : "");
   one["unit"] = -1;
   one["part"] = "";
   one["count"] = _count_before(tokens, one["start"], _most(tokens, one));
   labelled = _labelled(tokens, one, units);
   if (((py.len(units) === 0) || py.truth(labelled) || !py.truth(_in_a_unit(tokens, units, one, word, two, tables)))) {
    one["unit"] = py.len(units);
    units.push(one);
   }
  }
  if ((1 < py.len(units) && py.len(units) === units[0]["count"])) {
   _one_of_each(tokens, units[0], mentions);
  }
  if (((py.len(units) > 2) && py.truth(_told_by_kind(units, tables)))) {
   units = _without_first(tokens, units, mentions);
  }
  _less(tokens, units, tables);
  if (((py.len(units) === 1) && (units[0]["count"] === 1))) {
   units[0]["count"] = _count_apart(tokens);
   units[0]["behind"] = (units[0]["count"] > 1);
  }
  return units;
 }
 function _less(tokens, units, tables) {
   let first, i, last, rest, told;
  if (((py.len(units) !== 2) || (!py.has(units[1]["type"], py.get(tables["kinds"], units[0]["type"], []))))) {
   return null;
  }
  [first, last] = units;
  rest = (first["count"] - last["count"]);
  told = py.range(first["end"], py.len(tokens)).filter((i) => (py.eq(tokens[i]["n"], rest))).map((i) => (i));
  told = py.each(told).filter((i) => ((tokens[i]["used"] === "") && (tokens[i]["money"] === ""))).map((i) => (i));
  if (((rest > 0) && (py.len(told) > 0))) {
   first["count"] = rest;
   tokens[told[0]]["used"] = "units";
  }
 }
 function _without_first(tokens, units, mentions) {
   let first, one;
  for (one of py.each(mentions)) {
   one["unit"] = one["unit"] - ((one["unit"] > 0) ? 1 : 0);
  }
  first = units[0];
  first["part"] = "same";
  _count_used(tokens, first);
  return units.slice(1);
 }
 function _one_of_each(tokens, first, mentions) {
   let one;
  if ((py.has("narrow", py.each(mentions).filter((one) => (one["unit"] === 0)).map((one) => (one["part"]))))) {
   _count_used(tokens, first);
   first["count"] = 1;
  }
 }
 function _count_used(tokens, unit) {
   let said;
  for (said of tokens.slice(py.max((unit["start"] - 3), 0), unit["start"])) {
   said["used"] = ((py.eq(said["n"], unit["count"])) ? "units" : said["used"]);
  }
 }
 function _labelled(tokens, one, units) {
   let at, end, ends, i, n, place, said, told, unit, words;
  [at, end] = [one["start"], one["end"]];
  words = ["", "", ...tokens.slice(py.max((at - 3), 0), at).map((said) => (said["w"]))];
  place = (py.has(words[(py.len(words) - 3)], ["in", "at", "of", "from"]));
  if (((at > 1) && (!py.nil(tokens[(at - 1)]["n"])) && (py.has(words[(py.len(words) - 2)], SAID["label"])))) {
   tokens[(at - 1)]["unclear"] = true;
   return !py.truth(place);
  }
  ends = [...units.slice(-1).map((unit) => (unit["end"])), end];
  told = py.each(ends).filter((i) => ((i < py.len(tokens)) && (tokens[i]["stop"] === 0))).map((i) => (tokens[i]["n"]));
  told = py.each(told).filter((n) => (!py.nil(n))).map((n) => (n));
  return ((py.len(told) === 2) && (py.eq(told[1], py.add(told[0], 1))) && (told[1] < 10));
 }
 function _told_by_kind(units, tables) {
   let kinds, one, rest;
  kinds = py.get(tables["kinds"], units[0]["type"], []);
  rest = units.slice(1).filter((one) => (py.has(one["type"], kinds))).map((one) => (one["count"]));
  return ((py.eq(py.len(rest), (py.len(units) - 1))) && (py.eq(py.sum(rest), units[0]["count"])));
 }
 function _in_a_unit(tokens, units, one, word, two, tables) {
   let back, fewer, its, other;
  one["unit"] = (py.len(units) - 1);
  if (((!py.has(word, SAID["another"])) && py.truth(_whole_of(units[(py.len(units) - 1)], one, word, two, tables)))) {
   return true;
  }
  one["part"] = _aside(tokens, one, word, two, units[(py.len(units) - 1)]["type"]);
  if (py.truth(_coin_twin(tokens, units[(py.len(units) - 1)], one))) {
   return false;
  }
  if (((one["part"] !== "") || py.truth(_part_of_last(units, one, word, two, tables)))) {
   return true;
  }
  one["unit"] = 0;
  if (((py.len(units) === 1) && py.truth(_of_same_family(tokens, units[0], one, word, tables)))) {
   one["part"] = "same";
   return true;
  }
  one["part"] = "narrow";
  if (((py.len(units) === 1) && py.truth(is_plain(units[0]["type"], tables)))) {
   its = ((py.has(word, SAID["its"])) ? (py.has(word, SAID["its"])) : (py.has(two, SAID["it is"])));
   if ((py.truth(its) && (!py.has(part_family(one["type"], units[0]["type"], tables), ["", "same"])))) {
    units[0]["type"] = one["type"];
    return true;
   }
  }
  fewer = (1 < one["count"] && one["count"] < units[0]["count"]);
  other = (py.truth(fewer) || (py.has(word, ["one", "other"])) || (two === "one"));
  back = (py.truth(other) ? -1 : _narrower(units, one, tables));
  if ((back >= 0)) {
   _narrow(units[back], one, tables);
   one["unit"] = back;
   return true;
  }
  one["part"] = "";
  return false;
 }
 function _coin_twin(tokens, last, one) {
   let dries, m, named, said, t, twins, washes;
  named = [last, one].map((m) => (tokens.slice(m["start"], m["end"]).map((t) => (t["w"])).join(" ")));
  dries = py.each(named).filter((said) => (said.indexOf("dryer") >= 0)).map((said) => (said));
  washes = py.each(named).filter((said) => ((said.indexOf("washer") >= 0) || (said.indexOf(" load") >= 0))).map((said) => (said));
  twins = ((py.eq(last["type"], one["type"])) && py.truth(one["type"].startsWith("commer")));
  return (py.truth(twins) && (py.len(dries) === 1) && (py.len(washes) === 1));
 }
 function _aside(tokens, one, word, two, last) {
   let before;
  if (((one["type"] === "laundry pedestal") && (!py.has(word, ["a", "an", "plus"])))) {
   return "feature";
  }
  if ((py.truth(last.endsWith("pair")) && py.truth(one["type"].endsWith("dryer")))) {
   return "";
  }
  before = clause_words(tokens, one["start"], 4);
  if (py.truth(has_phrase(before, ["top of", "next to", "in front of", "side of"]))) {
   return "tool";
  }
  return ((py.truth(_tool(word, two)) && !py.truth(_priced(tokens, one["start"]))) ? "tool" : "");
 }
 function _whole_of(last, one, word, two, tables) {
   let fridges, whole;
  whole = one["type"];
  fridges = tables["kinds"]["fridge"];
  if ((last["type"] === "ice maker machine")) {
   if (((!py.has(word, ["in", "of", "on"])) && (!py.has(two, ["in", "of", "on"])))) {
    return false;
   }
   if (((whole !== "fridge") && (!py.has(whole, fridges)))) {
    return false;
   }
   last["part"] = "fridge";
  } else {
   if ((last["type"] === "freezer")) {
    if (((whole !== "fridge") && (!py.has(whole, fridges)))) {
     return false;
    }
   } else {
    if (((!py.has(last["type"], ["cooktop", "oven"])) || !((py.has(whole, ["oven", "range", "electric range"])) || (py.has(whole, tables["kinds"]["range"]))))) {
     return false;
    }
   }
  }
  one["part"] = ((whole === "oven") ? "range" : "same");
  last["part"] = ((last["type"] === "oven") ? "range" : last["part"]);
  last["type"] = ((whole === "oven") ? "range" : whole);
  return true;
 }
 function _part_of_last(units, one, word, two, tables) {
   let again, at, ends, family, k, mine, named, once_more, whole;
  mine = py.range(py.len(units)).filter((k) => (py.eq(units[k]["type"], one["type"]))).map((k) => (k));
  ends = py.range(py.len(units)).filter((k) => py.truth(units[k]["type"].endsWith(py.add(" ", one["type"])))).map((k) => (k));
  mine = (((py.len(mine) === 0) && (py.eq(ends, [0]))) ? ends : mine);
  whole = units[((word === "one") ? 0 : (py.len(units) - 1))]["type"];
  if (((py.len(units) > 1) && (py.has(one["type"], py.get(tables["kinds"], whole, []))))) {
   return false;
  }
  again = ((py.has(word, SAID["another"])) ? (py.has(word, SAID["another"])) : (py.has("one", [word, two])));
  if (((py.len(mine) === 1) && (py.len(units) > 1) && (one["count"] === 1) && !py.truth(again))) {
   one["part"] = "same";
   one["unit"] = mine[0];
   return true;
  }
  for (k of py.range(py.len(units))) {
   at = ((py.len(units) - 1) - k);
   family = part_family(units[at]["type"], one["type"], tables);
   if ((family === "")) {
    continue;
   }
   again = (py.has(word, ["a", "an", "another", "plus"]));
   once_more = ((family === "same") && (word !== "another") && (one["count"] < 2));
   named = (py.truth(once_more) && (py.eq(one["type"], units[at]["type"])));
   if ((py.truth(again) && !py.truth(named) && (py.has(one["type"], SAID["second units"])))) {
    return false;
   }
   if (((family === "same") && (one["count"] > 1) && (units[at]["count"] > 1))) {
    return false;
   }
   one["part"] = family;
   one["unit"] = at;
   if (((py.has(one["type"], ["gas dryer", "electric dryer"])) && (family === "dryer"))) {
    units[at]["fuel"] = py.split(one["type"], " ")[0];
   }
   return true;
  }
  return false;
 }
 function _of_same_family(tokens, unit, one, word, tables) {
   let between, joined, mine, stopped, t, tops;
  tops = ((word === "") && (py.has(tokens[(one["end"] - 1)]["w"], ["top", "tops"])));
  if ((py.truth(tops) && (py.has("range", py.get(tables["families"], unit["type"], []))))) {
   return py.truth((one["count"] === 1));
  }
  if ((py.truth(one["goods"]) || py.truth(unit["goods"]) || (py.has(word, ["", "and", "a", "an", "plus", "&", "with", "or"])))) {
   return false;
  }
  if (((one["count"] > 1) || py.truth(is_plain(unit["type"], tables)) || py.truth(is_plain(one["type"], tables)))) {
   return false;
  }
  mine = py.get(tables["families"], unit["type"], []);
  between = tokens.slice(unit["end"], one["start"]).map((t) => (t["w"]));
  stopped = (py.len(tokens.slice(unit["end"], one["start"]).filter((t) => (t["stop"] > 0)).map((t) => (t))) > 0);
  joined = py.each(between).filter((word) => (py.has(word, ["and", "+", "plus", "&", "matching"]))).map((word) => (word));
  return (!py.truth(stopped) && (py.len(joined) === 0) && (py.eq(mine, py.get(tables["families"], one["type"], []))));
 }
 function _priced(tokens, start) {
   let i;
  for (i of [(start - 1), (start - 2)]) {
   if (((i > 0) && (tokens[i]["w"] === "for") && (!py.nil(tokens[(i - 1)]["n"])))) {
    return true;
   }
  }
  return false;
 }
 function _tool(word, two) {
  return ((py.has(word, SAID["as tool"])) ? (py.has(word, SAID["as tool"])) : (py.has(two, SAID["as tool"])));
 }
 function _narrower(units, one, tables) {
   let inside, j, k, name, x;
  for (k of py.range(py.len(units))) {
   j = ((py.len(units) - 1) - k);
   name = units[j]["type"];
   if (((py.has(name, ["washer + dryer pair", "washer-dryer"])) && (py.has(one["type"], WASHER_PAIRS)))) {
    return j;
   }
   if ((py.truth(is_plain(name, tables)) && (py.has(one["type"], tables["kinds"][name])))) {
    return j;
   }
   if ((py.truth(is_plain(name, tables)) && py.truth(is_plain(one["type"], tables)))) {
    inside = py.each(tables["kinds"][one["type"]]).filter((x) => (py.has(x, tables["kinds"][name]))).map((x) => (x));
    if ((py.eq(py.len(inside), py.len(tables["kinds"][one["type"]])))) {
     return j;
    }
   }
  }
  return -1;
 }
 function _of_count(unit) {
  return (py.truth(py.truth((unit["count"] > 1))) ? py.truth((unit["count"] > 1)) : (py.has("cut", unit)));
 }
 function narrow_by_words(tokens, units, tables, counted) {
   let end, hit, hits, i, j, k, kind, kinds, listed, one, size, start;
  for (k of py.range(py.len(units))) {
   listed = py.get(tables["narrower"], units[k]["type"], {  });
   if (((py.len(listed) === 0) || (!py.eq(counted, _of_count(units[k]))))) {
    continue;
   }
   start = ((k === 0) ? 0 : units[k]["start"]);
   end = ((py.add(k, 1) < py.len(units)) ? units[py.add(k, 1)]["start"] : py.len(tokens));
   hits = [];
   kinds = [];
   i = start;
   while ((i < end)) {
    size = listed_at(tokens, i, listed, 5);
    if (((size > 0) && (py.add(i, size) <= end) && py.truth(_tells_kind(tokens, i, size, units[k])))) {
     kind = listed[tokens.slice(i, py.add(i, size)).map((one) => (one["w"])).join(" ")];
     if ((!py.eq([py.get(units[k], "fuel", ""), kind.slice(0, 4)], ["electric", "gas "]))) {
      hits.push([i, py.add(i, size)]);
      kinds.push(kind);
     }
     i = py.more(i, size);
    } else {
     i = py.more(i, 1);
    }
   }
   if ((py.len(py.list(py.fromkeys(kinds))) !== 1)) {
    continue;
   }
   _name_all(units, k, kinds[0], hits[0][0]);
   for (hit of py.each(hits)) {
    for (j of py.range(hit[0], hit[1])) {
     tokens[j]["kind"] = true;
    }
   }
  }
 }
 function _name_all(units, k, kind, at) {
   let unit, whole;
  whole = ((k === 0) && (py.get(units[0], "cut", 0) > at));
  for (unit of py.each((py.truth(whole) ? units : [units[k]]))) {
   unit["type"] = kind;
  }
 }
 function _tells_kind(tokens, i, size, unit) {
   let after, before, beside, one;
  one = tokens[i];
  before = (((i > 0) && (one["stop"] === 0)) ? tokens[(i - 1)]["w"] : "");
  if (((!py.has(one["used"], ["", "size"])) || (py.has(before, ["no", "not", "without"])))) {
   return false;
  }
  if (((size === 1) && (py.has(one["w"], SAID["one tells"])))) {
   return true;
  }
  after = tokens.slice(py.add(i, size), py.add(py.add(i, size), 1)).filter((one) => (one["stop"] === 0)).map((one) => (one));
  beside = _beside_name(tokens, i, unit);
  if (((py.has(before, ["nd", "the", "st", "rd", "th"])) || py.truth(_says_else(after, beside)))) {
   return false;
  }
  return ((size > 1) || py.truth(beside) || py.truth(_alone_there(tokens, i, before, after)));
 }
 function _says_else(after, beside) {
  if ((py.len(after) === 0)) {
   return false;
  }
  return ((py.has(after[0]["w"], SAID["not narrower"])) ? (py.has(after[0]["w"], SAID["not narrower"])) : ((!py.nil(after[0]["n"])) && !py.truth(beside)));
 }
 function _beside_name(tokens, i, unit) {
   let behind;
  behind = ((py.eq(i, unit["end"])) && (tokens[i]["stop"] === 0));
  return (py.truth(behind) ? behind : ((py.eq(py.add(i, 1), unit["start"])) && py.truth(py.truth((tokens[py.add(i, 1)]["stop"] === 0)))));
 }
 function _alone_there(tokens, i, before, after) {
   let starts;
  if (((i > 0) && (tokens[(i - 1)]["used"] === "units"))) {
   return true;
  }
  starts = ((i === 0) || (tokens[i]["stop"] > 0) || (py.has(before, ["a", "an", "its", "it's", "all", "both"])));
  return (py.truth(starts) && ((py.len(after) === 0) || (py.has(after[0]["w"], ["one", "kind", "type", "model"]))));
 }
 const WASHER_PAIRS = { ["top-load washer"]: "top-load washer + dryer pair", ["front-load washer"]: "front-load washer + dryer pair" };
 function _narrow(unit, one, tables) {
   let name;
  name = unit["type"];
  if ((py.has(name, ["oven", "cooktop"]))) {
   unit["part"] = "range";
  }
  unit["type"] = one["type"];
  if (((py.has(one["type"], WASHER_PAIRS)) && (py.has(name, ["washer + dryer pair", "washer-dryer"])))) {
   unit["type"] = WASHER_PAIRS[one["type"]];
  }
 }
 function _count_apart(tokens) {
   let after, before, i, lot, n, them, told;
  for (i of py.range(py.len(tokens))) {
   n = tokens[i]["n"];
   if (((py.nil(n)) || (tokens[i]["used"] !== "") || (tokens[i]["money"] !== "") || !(2 <= n && n <= 12))) {
    continue;
   }
   after = words_after(tokens, i, 3);
   before = (((i > 0) && (tokens[i]["stop"] === 0)) ? tokens[(i - 1)]["w"] : "");
   them = (py.has(after.slice(0, 2).join(" "), ["of them", "of these", "of em", "of those"]));
   them = (py.truth(them) && ((py.len(after) === 2) || (py.has(after[2], SAID["of them"]))));
   told = ((py.has(after.join(" "), ["available", "of each", "total"])) ? (py.has(after.join(" "), ["available", "of each", "total"])) : (py.has(before, SAID["times"])));
   lot = ((py.eq(after.slice(0, 1), ["for"])) && (py.len(after) > 1) && (!py.nil(tokens[py.add(i, 2)]["n"])));
   told = (py.truth(told) ? told : lot);
   if (((py.truth(them) || py.truth(told)) && (py.eq(n, py.int(n))))) {
    tokens[i]["used"] = "units";
    if ((py.has(before, SAID["times"]))) {
     tokens[(i - 1)]["used"] = "units";
    }
    return py.int(n);
   }
  }
  return 1;
 }
 function _most(tokens, one) {
   let i, word;
  for (i of py.range(one["start"], one["end"])) {
   word = tokens[i]["w"];
   if ((py.truth(word.endsWith("s")) && !py.truth(word.endsWith("ss")) && (!py.has(word, ["gas", "glass"])))) {
    return 20;
   }
  }
  return 6;
 }
 function _count_before(tokens, start, most) {
   let i, one, steps, value, whole;
  i = start;
  steps = 0;
  while (((i > 0) && (steps < 4) && (tokens[i]["stop"] === 0))) {
   i = i - 1;
   steps = py.more(steps, 1);
   one = tokens[i];
   if ((!py.nil(one["n"]))) {
    value = one["n"];
    whole = ((py.eq(value, py.int(value))) && (1 <= value && value <= most));
    if (((i > 0) && (py.has(tokens[(i - 1)]["w"], SAID["label"])))) {
     one["used"] = "no";
     return 1;
    }
    if ((py.truth(whole) && (one["used"] === "") && (one["money"] === ""))) {
     return py.int(value);
    }
    return 1;
   }
   if (((one["w"] === "pair") && (tokens[py.add(i, 1)]["w"] === "of") && (most === 20))) {
    one["n"] = 2.0;
    return 2;
   }
   if ((!py.has(one["w"], SAID["count words"]))) {
    return 1;
   }
  }
  return 1;
 }
 return { PARTS, mentions_of, listed_at, is_plain, part_family, units_of, narrow_by_words, WASHER_PAIRS };
})();
const second_thoughts_words = (() => {
 const { SAID, Token, Tokens } = tokens_words;
 function without_asides(tokens) {
   let i, out, size, stop;
  out = [];
  stop = 0;
  i = 0;
  while ((i < py.len(tokens))) {
   size = phrase_at(tokens, i, SAID["asides"]);
   stop = py.max(stop, tokens[i]["stop"]);
   if ((size > 0)) {
    i = py.more(i, size);
    continue;
   }
   tokens[i]["stop"] = stop;
   stop = 0;
   out.push(tokens[i]);
   i = py.more(i, 1);
  }
  return out;
 }
 const BY_HEAD = {  };
 function _by_head(phrases) {
   let head, key, phrase;
  key = py.add(py.add(phrases[0], "|"), phrases[phrases.length - 1]);
  if ((!py.has(key, BY_HEAD))) {
   BY_HEAD[key] = {  };
   for (phrase of py.each(phrases)) {
    head = py.split(phrase, " ")[0];
    BY_HEAD[key][head] = [...py.get(BY_HEAD[key], head, []), phrase];
   }
  }
  return BY_HEAD[key];
 }
 function phrase_at(tokens, i, phrases) {
   let best, first, k, phrase, same, words;
  first = tokens[i]["w"];
  best = 0;
  for (phrase of py.get(_by_head(phrases), first, [])) {
   words = py.split(phrase, " ");
   if ((py.add(i, py.len(words)) > py.len(tokens))) {
    continue;
   }
   same = py.range(py.len(words)).filter((k) => (py.eq(tokens[py.add(i, k)]["w"], words[k]))).map((k) => (k));
   if ((py.eq(py.len(same), py.len(words)) && py.len(words) > best)) {
    best = py.len(words);
   }
  }
  return best;
 }
 function with_last_number(tokens) {
   let after, ends, first, first_label, fits, i, out, unit;
  out = [];
  i = 0;
  while ((i < py.len(tokens))) {
   after = py.add(i, _taking_back(tokens, i));
   first = _first_number(out);
   fits = ((after > i) && (first >= 0) && (after < py.len(tokens)) && (!py.nil(tokens[after]["n"])));
   first_label = (py.truth(fits) && (tokens[after]["n"] === 1) && (tokens[(after - 1)]["w"] === "no"));
   if ((py.truth(fits) && !py.truth(first_label) && py.truth(_same_sort(out, first, tokens, after)))) {
    tokens[after]["stop"] = out[first]["stop"];
    ends = ((py.add(after, 1) >= py.len(tokens)) ? (py.add(after, 1) >= py.len(tokens)) : (tokens[py.add(after, 1)]["stop"] > 0));
    unit = (py.truth(ends) ? out.slice(py.add(first, 1)) : []);
    if (((out[first]["money"] !== "") && (tokens[after]["money"] === ""))) {
     tokens[after]["money"] = (py.truth(ends) ? out[first]["money"] : "");
    }
    out = [...out.slice(0, first), tokens[after], ...unit];
    i = py.add(after, 1);
    continue;
   }
   out.push(tokens[i]);
   i = py.more(i, 1);
  }
  return out;
 }
 function _counted(tokens, i) {
   let after, g;
  after = (((py.add(i, 1) < py.len(tokens)) && (tokens[py.add(i, 1)]["stop"] === 0)) ? tokens[py.add(i, 1)]["w"] : "");
  after = ((tokens[i]["money"] !== "") ? "bucks" : after);
  return py.each(SAID["counted"]).filter((g) => (py.add(py.add(" ", g), " ").indexOf(py.add(py.add(" ", after), " ")) >= 0)).map((g) => (g)).join("");
 }
 function _same_sort(said, first, tokens, after) {
   let one, two;
  [one, two] = [_counted(said, first), _counted(tokens, after)];
  return ((py.eq(one, two)) || (one === "") || (two === ""));
 }
 function _taking_back(tokens, i) {
   let apart, at, size, sure, word;
  at = i;
  sure = false;
  apart = ((tokens[i]["stop"] > 0) ? (tokens[i]["stop"] > 0) : ((i > 0) && (!py.nil(tokens[(i - 1)]["n"]))));
  while ((at < py.len(tokens))) {
   size = phrase_at(tokens, at, SAID["takes back"]);
   word = tokens[at]["w"];
   if (((size === 0) && (py.has(word, SAID["well no"])) && ((at > i) || py.truth(apart)))) {
    size = 1;
   }
   sure = (py.truth(sure) ? sure : (size > 0));
   if ((py.truth(sure) && (size === 0) && (py.has(word, SAID["between"])))) {
    size = 1;
   }
   if ((size === 0)) {
    break;
   }
   at = py.more(at, size);
  }
  return (at - i);
 }
 const OTHERWISE = [["gas", "propane", "electric", "elec"], ["top", "front"]];
 function with_last_word(tokens) {
   let after, at, i, out, size;
  tokens = _not_this(tokens);
  out = [];
  i = 0;
  while ((i < py.len(tokens))) {
   size = phrase_at(tokens, i, SAID["takes back"]);
   if (((size === 0) && (tokens[i]["w"] === "no") && (tokens[i]["stop"] > 0))) {
    size = 1;
   }
   after = py.add(i, size);
   while (((size > 0) && (after < (py.len(tokens) - 1)) && (py.has(tokens[after]["w"], SAID["between"])))) {
    after = py.more(after, 1);
   }
   at = (((size > 0) && (after < py.len(tokens))) ? _said_before(out, tokens, after) : -1);
   if ((at < 0)) {
    out.push(tokens[i]);
    i = py.more(i, 1);
    continue;
   }
   out[at]["w"] = tokens[after]["w"];
   out[at]["t"] = tokens[after]["t"];
   i = py.add(after, 1);
   if (((i < py.len(tokens)) && (py.has(tokens[i]["w"], ["one", "load", "loader", "model", "version"])))) {
    i = py.more(i, 1);
   }
   if (((i < py.len(tokens)) && (tokens[i]["stop"] === 0))) {
    tokens[i]["stop"] = 1;
   }
  }
  return out;
 }
 function mark_left_open(tokens, forms) {
   let group, i, k, one, row, two;
  for (i of py.range((py.len(tokens) - 2))) {
   for (row of py.each(SAID["alternatives"])) {
    group = py.split(row, " ");
    [one, two] = [tokens[i]["w"], tokens[py.add(i, 2)]["w"]];
    if (((py.has(tokens[py.add(i, 1)]["w"], ["or", "/"])) && (py.has(one, group)) && (py.has(two, group)) && (!py.eq(one, two)))) {
     for (k of [i, py.add(i, 2)]) {
      forms[k] = "";
      tokens[k]["used"] = "open";
      tokens[k]["either"] = true;
     }
    }
   }
  }
 }
 function _not_this(tokens) {
   let at, end, i, k, last, middle, one, start, thought, turns, w;
  for (i of py.range(py.len(tokens))) {
   at = py.add(i, 1);
   while (((at < py.len(tokens)) && (py.has(tokens[at]["w"], SAID["between"])))) {
    at = py.more(at, 1);
   }
   thought = (py.has(tokens[i]["w"], ["said", "thought", "figured", "wrote", "says"]));
   if (((at >= py.len(tokens)) || !(py.truth(thought) || (py.has(tokens[i]["w"], ["not", "isn't", "isnt"]))))) {
    continue;
   }
   k = _other_of(tokens, at);
   middle = ((k > 0) ? tokens.slice(at, k).map((one) => (one["w"])) : []);
   turns = py.each(middle).filter((w) => (py.has(w, ["but", "actually", "its", "it's", "is", "really"]))).map((w) => (w));
   if (((k < 0) || (py.truth(thought) && (py.len(turns) === 0)))) {
    continue;
   }
   tokens[at]["w"] = tokens[k]["w"];
   tokens[at]["t"] = tokens[k]["t"];
   tokens[at]["stop"] = tokens[i]["stop"];
   last = ((py.add(k, 1) < py.len(tokens)) ? tokens[py.add(k, 1)]["w"] : "");
   end = ((py.has(last, ["one", "load", "loader", "kind", "model"])) ? py.add(k, 2) : py.add(k, 1));
   start = k;
   while (((start > py.add(at, 1)) && (py.has(tokens[(start - 1)]["w"], SAID["between"])))) {
    start = start - 1;
   }
   return [...tokens.slice(0, i), ...tokens.slice(at, start), ...tokens.slice(end)];
  }
  return tokens;
 }
 function _other_of(tokens, at) {
   let group, k;
  for (group of py.each(OTHERWISE)) {
   if ((py.has(tokens[at]["w"], group))) {
    for (k of py.range(py.add(at, 1), py.min(py.add(at, 9), py.len(tokens)))) {
     if (((py.has(tokens[k]["w"], group)) && (!py.eq(tokens[k]["w"], tokens[at]["w"])))) {
      return k;
     }
    }
   }
  }
  return -1;
 }
 function _said_before(said, tokens, i) {
   let at, back, ends, goes_on, group;
  ends = ((py.add(i, 1) >= py.len(tokens)) ? (py.add(i, 1) >= py.len(tokens)) : (tokens[py.add(i, 1)]["stop"] > 0));
  goes_on = (!py.truth(ends) && ((py.has(tokens[py.add(i, 1)]["w"], SAID["goes on"])) || (!py.nil(tokens[py.add(i, 1)]["n"]))));
  if (!(py.truth(ends) || py.truth(goes_on))) {
   return -1;
  }
  for (group of py.each(OTHERWISE)) {
   if ((!py.has(tokens[i]["w"], group))) {
    continue;
   }
   for (back of py.range(py.min(py.len(said), 9))) {
    at = ((py.len(said) - 1) - back);
    if (((py.has(said[at]["w"], group)) && (!py.eq(said[at]["w"], tokens[i]["w"])))) {
     return at;
    }
   }
  }
  return -1;
 }
 function _first_number(said) {
   let back, i;
  for (back of py.range(3)) {
   i = ((py.len(said) - 1) - back);
   if ((i < 0)) {
    return -1;
   }
   if ((!py.nil(said[i]["n"]))) {
    return i;
   }
   if ((said[i]["stop"] > 0)) {
    return -1;
   }
  }
  return -1;
 }
 function with_last_kind(tokens, mentions) {
   let i, one, out;
  out = [];
  for (one of py.each(mentions)) {
   if (((py.len(out) > 0) && py.truth(taken_back(tokens, out[out.length - 1]["end"], one["start"])))) {
    for (i of py.range(out[out.length - 1]["start"], one["start"])) {
     tokens[i]["used"] = "idle";
    }
    out = out.slice(0, -1);
   }
   out.push(one);
  }
  return out;
 }
 function taken_back(tokens, start, end) {
   let i, seen, size;
  seen = false;
  i = start;
  while ((i < end)) {
   size = phrase_at(tokens, i, SAID["takes back"]);
   if (((size > 0) && (py.add(i, size) <= end))) {
    seen = true;
    i = py.more(i, size);
   } else {
    if ((py.has(tokens[i]["w"], SAID["between"]))) {
     i = py.more(i, 1);
    } else {
     return false;
    }
   }
  }
  return seen;
 }
 const ONCE_SAID = "made their_price miles age drive_min maker asked_now offered stairs";
 function last_said(tokens, fields, lone) {
   let field, first, gone, last;
  gone = [];
  for (first of py.each(fields)) {
   for (last of py.each(fields)) {
    if (((first[2] < last[2]) && (!py.eq(first[1], last[1])) && py.truth(_over(tokens, first, last, lone)))) {
     gone.push(first);
     tokens[first[2]]["used"] = "no";
    }
   }
  }
  return py.each(fields).filter((field) => (!py.has(field, gone))).map((field) => (field));
 }
 function _over(tokens, first, last, lone) {
   let doubted, end, name, one, start, years;
  [name, start, end] = [first[0], first[2], last[2]];
  if (((py.eq(name, last[0])) && (py.has(name, py.split(ONCE_SAID, " "))))) {
   doubted = tokens.slice(start, py.add(start, 2)).filter((one) => py.truth(one["ask"])).map((one) => (one));
   if (((py.len(doubted) > 0) && !py.truth(tokens[end]["ask"]) && (py.has(name, ["age", "miles"])))) {
    return true;
   }
   return ((py.truth(lone) && py.truth(_in_force(tokens, first, last))) ? (py.truth(lone) && py.truth(_in_force(tokens, first, last))) : _put_right(tokens, start, end, false));
  }
  years = (py.truth(lone) && (py.has(name, ["age", "made"])) && (py.has(last[0], ["age", "made"])));
  return (py.truth(years) && (!py.eq(name, last[0])) && py.truth(_put_right(tokens, start, end, true)));
 }
 function _put_right(tokens, start, end, years) {
   let i, no, size;
  for (i of py.range(py.add(start, 1), end)) {
   size = phrase_at(tokens, i, SAID["takes back"]);
   no = ((tokens[i]["w"] === "no") && (tokens[py.add(i, 1)]["stop"] > 0));
   if ((py.truth(no) || (size > 1) || ((size === 1) && (py.has(tokens[i]["w"], SAID["takes back alone"]))))) {
    return true;
   }
   if ((py.truth(years) && (py.has(tokens[i]["w"], ["but", "receipt", "sticker", "plate"])))) {
    return true;
   }
  }
  return false;
 }
 function _in_force(tokens, first, last) {
   let before, end, name, near, one, start, was, word;
  [name, start, end] = [first[0], first[2], last[2]];
  if ((name === "offered")) {
   return py.truth((last[1] > first[1]));
  }
  near = tokens.slice(py.add(start, 1), py.add(end, 3)).map((one) => (one["w"]));
  before = tokens.slice(py.max((start - 3), 0), start).map((one) => (one["w"]));
  was = py.each(before).filter((word) => (py.has(word, ["had", "was", "started", "wanted", "asked"]))).map((word) => (word));
  was = ((name === "asked_now") ? [name] : ((name === "their_price") ? was : []));
  return ((py.len(was) > 0) && (py.len(py.each(near).filter((word) => (py.has(word, ["today", "now"]))).map((word) => (word))) > 0));
 }
 function mark_taken_back(tokens) {
   let i, one, size;
  for (i of py.range(py.len(tokens))) {
   size = phrase_at(tokens, i, SAID["takes back"]);
   if ((size > 1)) {
    for (one of tokens.slice(i, py.add(i, size))) {
     one["used"] = (((one["used"] === "") && (py.nil(one["n"]))) ? "idle" : one["used"]);
    }
   }
  }
 }
 return { without_asides, BY_HEAD, phrase_at, with_last_number, OTHERWISE, with_last_word, mark_left_open, with_last_kind, taken_back, ONCE_SAID, last_said, mark_taken_back };
})();
const breath_words = (() => {
 const { SAID, Table, Tables, Token, Tokens } = tokens_words;
 function pair_up(tokens, units, mentions) {
   let after, fuel, k, mention, one, out, pair, place;
  out = [];
  k = 0;
  while ((k < py.len(units))) {
   one = units[k];
   after = ((py.add(k, 1) < py.len(units)) ? units[py.add(k, 1)] : null);
   pair = ((!py.nil(after)) ? _pair(tokens, one, after) : "");
   if (((pair !== "") && (!py.nil(after)))) {
    for (mention of py.each(mentions)) {
     if ((py.eq(mention["unit"], py.add(k, 1)))) {
      mention["unit"] = k;
      if ((mention === after)) {
       mention["part"] = "pair";
      }
     } else {
      if ((mention["unit"] > py.add(k, 1))) {
       mention["unit"] = mention["unit"] - 1;
      }
     }
    }
    for (mention of py.each(mentions)) {
     if (((py.eq(mention["unit"], k)) && (mention["part"] === "same"))) {
      mention["part"] = (py.truth(mention["type"].endsWith("dryer")) ? "dryer" : "washer");
     }
    }
    fuel = py.split((py.truth(one["type"].endsWith("washer")) ? after : one)["type"], " ")[0];
    one["type"] = pair;
    if ((py.has(fuel, ["gas", "electric"]))) {
     one["fuel"] = fuel;
    }
    out.push(one);
    k = py.more(k, 2);
    continue;
   }
   out.push(one);
   k = py.more(k, 1);
  }
  out = _one_set(tokens, out, mentions);
  for (place of py.range(py.len(out))) {
   out[place]["unit"] = place;
  }
  return out;
 }
 const PAIR = "washer + dryer pair";
 function _one_set(tokens, units, mentions) {
   let both, dryers, first, lead, one, rest, sets, sides, told, washers, whole;
  sets = py.each(units).filter((one) => py.truth(one["type"].endsWith(PAIR))).map((one) => (one));
  rest = py.each(units).filter((one) => !py.truth(one["type"].endsWith(PAIR))).map((one) => (one));
  washers = py.each(rest).filter((one) => (py.truth(one["type"].endsWith("washer")) && (one["count"] < 3))).map((one) => (one));
  dryers = py.each(rest).filter((one) => (py.truth(one["type"].endsWith("dryer")) && (one["count"] < 2))).map((one) => (one));
  first = ((py.len(units) > 0) ? units[0]["start"] : 0);
  lead = tokens.slice(py.max((first - 4), 0), first).map((one) => (one["w"]));
  if (((py.len(sets) === 0) && (!py.has("pair", lead)) && (!py.has("set", lead)))) {
   return units;
  }
  if (((py.len(units) < 2) || (py.len(washers) > 1) || (py.len(dryers) > 1))) {
   return units;
  }
  if ((py.add(py.len(washers), py.len(dryers)) < py.len(rest))) {
   return units;
  }
  whole = units[0];
  sides = [...sets, ...washers].map((one) => (one["type"].slice(0, 5)));
  both = (py.eq(py.len(washers), py.len(dryers)));
  for (one of py.each(mentions)) {
   told = units[one["unit"]];
   if (((py.has(told, rest)) && (py.has(one["part"], ["", "same", "narrow"])))) {
    one["part"] = (py.truth(both) ? ((py.has(told, dryers)) ? "dryer" : "washer") : "pair");
   }
   one["unit"] = 0;
  }
  whole["count"] = 1;
  whole["type"] = PAIR;
  for (one of py.each(dryers)) {
   whole["fuel"] = ((one["type"] !== "dryer") ? py.split(one["type"], " ")[0] : "");
  }
  if (((py.has("front", sides)) || (py.has("top-l", sides)))) {
   whole["type"] = py.add(((py.has("front", sides)) ? "front-load " : "top-load "), PAIR);
  }
  return [whole];
 }
 function _pair(tokens, one, after) {
   let between, first, joined, last, t, w, washers;
  washers = ["top-load washer", "front-load washer", "washer"];
  [first, last] = ((py.has(one["type"], washers)) ? [one, after] : [after, one]);
  if (((!py.has(first["type"], washers)) || (!py.has(last["type"], ["dryer", "electric dryer", "gas dryer"])))) {
   return "";
  }
  between = tokens.slice(one["end"], after["start"]).map((t) => (py.add(t["money"], t["w"])));
  if (((py.len(between) > 3) || (py.has("a", between)) || (py.has("an", between)) || (after["count"] > 1))) {
   return "";
  }
  if (((tokens[after["start"]]["stop"] > 0) || (py.has("$", between.join(""))))) {
   return "";
  }
  joined = py.each(between).filter((w) => (py.has(w, ["and", "n", "&", "+", "/", "with", "plus"]))).map((w) => (w));
  return ((py.len(joined) > 0) ? py.add(first["type"], " + dryer pair") : "");
 }
 function mark_mentions(tokens, mentions) {
   let i, j, one;
  for (one of py.each(mentions)) {
   for (i of py.range(one["start"], one["end"])) {
    if ((py.has(one["part"], ["", "pair", "narrow"]))) {
     tokens[i]["used"] = ((tokens[i]["used"] !== "size") ? "type" : "size");
    } else {
     if ((one["part"] === "same")) {
      tokens[i]["part"] = "same";
     } else {
      if ((one["part"] === "tool")) {
       tokens[i]["used"] = "tool";
      } else {
       if ((py.has(one["part"], ["washer", "dryer", "microwave"]))) {
        tokens[i]["used"] = "part";
       } else {
        tokens[i]["part"] = one["part"];
       }
      }
     }
    }
   }
   if (((one["count"] > 1) && (one["part"] === "") && !py.truth(py.get(one, "behind", false)))) {
    j = (one["start"] - 1);
    while (((j >= 0) && (py.nil(tokens[j]["n"])))) {
     j = j - 1;
    }
    if ((j >= 0)) {
     tokens[j]["used"] = "units";
    }
   }
  }
 }
 function name_again(tokens, units, mentions) {
   let again, alone, end, i, k, one, said, token;
  for (i of py.each(((py.len(units) > 1) ? py.range((py.len(tokens) - 1)) : []))) {
   one = ((py.has(tokens[py.add(i, 1)]["w"], ["one", "ones"])) && (tokens[py.add(i, 1)]["stop"] === 0));
   alone = (py.truth(one) ? one : ((tokens[i]["stop"] > 0) && (tokens[py.add(i, 1)]["stop"] === 0)));
   said = py.range(py.len(units)).filter((k) => py.truth(_told_by(tokens, i, units[k]))).map((k) => (k));
   if ((py.truth(alone) && (py.len(said) === 1))) {
    end = (py.truth(one) ? py.add(i, 2) : py.add(i, 1));
    again = { ...units[said[0]], ["start"]: i, ["end"]: end, ["count"]: 1, ["unit"]: said[0] };
    mentions.push({ ...again, ["part"]: "same" });
    for (token of tokens.slice(i, end)) {
     token["part"] = "same";
    }
   }
  }
  for (one of py.each(mentions)) {
   if ((one["unit"] < py.len(units))) {
    units[one["unit"]]["named"] = [...py.get(units[one["unit"]], "named", []), one["start"]];
   }
  }
 }
 function _told_by(tokens, i, unit) {
   let its;
  its = ((py.has(tokens[i]["w"], unit["type"])) ? (py.has(tokens[i]["w"], unit["type"])) : (py.eq(tokens[i]["w"], py.get(unit, "fuel"))));
  return (py.truth(its) && (py.has(tokens[i]["w"], SAID["told by"])) && py.truth(py.truth((unit["end"] <= i))));
 }
 function blank_unit(one, tables, own, words) {
   let coin, count, families, family, goods, kinds, name, plain, said, sides, torn, unit;
  name = ((!py.nil(one)) ? one["type"] : "");
  goods = ((!py.nil(one)) && py.truth(one["goods"]));
  plain = (py.has(name, tables["kinds"]));
  kinds = (py.truth(plain) ? tables["kinds"][name] : [name]);
  families = _families_of(kinds, tables, words);
  said = (py.truth(name.startsWith("commer")) ? words.slice(one["start"], one["end"]) : []);
  coin = py.each(families).filter((family) => ((py.has(family, said)) || (py.has(py.add(family, "s"), said)))).map((family) => (family));
  families = ((py.len(coin) === 1) ? coin : families);
  sides = py.list(py.get(tables["sides"], name, []));
  if (((py.len(families) === 0) && (py.has(name, py.get(own, "families", {  }))))) {
   families = py.list(own["families"][name]);
   sides = _sides_in(py.add(py.add(" ", name.toLowerCase().replaceAll("-", " ")), " "));
  }
  count = ((!py.nil(one)) ? one["count"] : 1);
  unit = { ["type"]: name, ["goods"]: goods, ["count"]: count, ["plain"]: plain, ["families"]: families };
  torn = ((!py.nil(one)) && py.truth(py.get(one, "torn", false)));
  unit = { ...unit, ["sides"]: (py.truth(goods) ? [] : sides), ["torn"]: torn };
  return { ...unit, ["faults"]: [], ["found"]: "", ["repair"]: [] };
 }
 function _families_of(kinds, tables, words) {
   let families, family, held, kind, of_kind, one, share;
  held = py.each(kinds).map((kind) => (py.get(tables["families"], kind, [])));
  families = [];
  for (of_kind of py.each(held)) {
   for (family of py.each(of_kind)) {
    share = (py.len(py.each(held).filter((one) => (py.has(family, one))).map((one) => (one))) / py.len(held));
    if (((family !== "none") && (!py.has(family, families)))) {
     if (((py.eq(family, of_kind[0])) || (share >= 0.5) || (py.has(family, words)))) {
      families.push(family);
     }
    }
   }
  }
  return families;
 }
 function _sides_in(name) {
   let loads, one, side, sides;
  sides = ["gas", "electric"].filter((side) => (name.indexOf(py.add(" ", side)) >= 0)).map((side) => (side));
  loads = ["top", "front"].filter((one) => (name.indexOf(py.add(py.add(" ", one), " load")) >= 0)).map((one) => (one));
  return py.add(sides, py.each(loads).map((one) => (py.add(one, "-load"))));
 }
 function give_fuel(tokens, units, heard, fields) {
   let at, every, field, fuel, i, k, load, one, sided, word;
  for (k of py.range(py.len(units))) {
   one = heard[k];
   if (py.truth(one["goods"])) {
    continue;
   }
   if ((py.has(py.get(units[k], "fuel", ""), ["gas", "electric"]))) {
    fields.push(["fuel", units[k]["fuel"], units[k]["start"]]);
   }
   for (i of py.range(units[k]["start"], units[k]["end"])) {
    word = tokens[i]["w"];
    load = ((py.has(word, ["top", "front"])) && (py.add(i, 1) < py.len(tokens)));
    if ((py.truth(load) && py.truth(tokens[py.add(i, 1)]["w"].startsWith("load")) && py.truth(one["type"].startsWith("comm")))) {
     one["sides"] = [...one["sides"], py.add(word, "-load")];
    }
    fuel = ((py.has(word, ["gas", "propane", "lp"])) ? "gas" : "");
    fuel = ((py.has(word, ["electric", "elec"])) ? "electric" : fuel);
    if ((py.has(word, ["propane", "lp", "lpg"]))) {
     fields.push(["fuel said", "propane", i]);
    }
    sided = ((py.has("gas", one["sides"])) ? (py.has("gas", one["sides"])) : (py.has("electric", one["sides"])));
    if (((fuel !== "") && (!py.truth(sided) || (py.has("wall oven", one["type"]))))) {
     fields.push(["fuel", fuel, i]);
    }
   }
  }
  for (field of py.each(fields)) {
   if ((field[0] !== "fuel")) {
    continue;
   }
   at = unit_at(field[2], units);
   every = ((py.len(units) > 0) && (py.has("cut", units[0])) && (field[2] < units[0]["cut"]));
   for (one of py.each((py.truth(every) ? heard : [heard[at]]))) {
    _narrow_by_fuel(one, field);
   }
  }
 }
 function _narrow_by_fuel(one, field) {
  if (((!py.has("gas", one["sides"])) && (!py.has("electric", one["sides"])))) {
   one["sides"] = [...one["sides"], ((field[1] === "propane") ? "gas" : field[1])];
   if ((one["type"] === "dryer")) {
    one["type"] = py.add(one["sides"][one["sides"].length - 1], " dryer");
    one["plain"] = false;
   } else {
    if ((one["type"] === "range")) {
     one["type"] = ((one["sides"][one["sides"].length - 1] === "gas") ? "gas range" : "electric range");
     one["plain"] = (one["type"] === "electric range");
    } else {
     if ((one["type"] === "cooktop")) {
      one["type"] = py.add(one["sides"][one["sides"].length - 1], " cooktop");
      one["plain"] = false;
     }
    }
   }
  } else {
   if (((field[1] === "propane") || (!py.has("wall oven", one["type"])))) {
    field[0] = "fuel said";
   }
  }
 }
 function unit_at(i, units) {
   let at, k, last, start;
  at = 0;
  last = -1;
  for (k of py.range(py.len(units))) {
   for (start of [units[k]["start"], ...py.get(units[k], "named", [])]) {
    if ((last <= start && start <= i)) {
     at = k;
     last = start;
    }
   }
  }
  return at;
 }
 function parts_of(tokens, mentions, units) {
   let apart, cuts, i, k, m, named, named_in, of_it, one, part, parts, split;
  cuts = [0];
  named = units.slice(1).map((one) => (_from_its_a(tokens, one["start"])));
  apart = ((py.len(units) > 0) && (!py.has("cut", units[0])));
  if (((py.len(units) === 1) && py.truth(units[0]["type"].endsWith("pair")))) {
   of_it = py.each(mentions).filter((one) => (py.has(one["part"], ["washer", "dryer"]))).map((one) => (one["start"]));
   named = py.more(named, py.each(of_it).filter((i) => ((i > 0) && (py.has(tokens[(i - 1)]["w"], ["the", "and"])))).map((i) => (i)));
  }
  named = py.more(named, ((py.len(units) === 1) ? _between_parts(tokens, mentions) : []));
  if ((py.len(units) > 1)) {
   named = py.more(named, py.each(mentions).filter((one) => (one["part"] === "same")).map((one) => (one["start"])));
  }
  for (i of py.range(1, py.len(tokens))) {
   split = ((py.has(tokens[i]["w"], SAID["split"])) && (!py.has(tokens[(i - 1)]["w"], ["glow", "glows"])));
   if (((tokens[i]["stop"] > 0) || py.truth(split) || (py.has(i, named)))) {
    if ((!py.eq(cuts[cuts.length - 1], i))) {
     cuts.push(i);
    }
   }
  }
  cuts.push(py.len(tokens));
  parts = [];
  for (k of py.range((py.len(cuts) - 1))) {
   if ((py.eq(cuts[k], cuts[py.add(k, 1)]))) {
    continue;
   }
   part = { ["start"]: cuts[k], ["end"]: cuts[py.add(k, 1)], ["unit"]: unit_at(cuts[k], units), ["part"]: "" };
   for (one of py.each(mentions)) {
    if ((cuts[k] <= one["start"] && one["start"] < cuts[py.add(k, 1)])) {
     if ((!py.has(one["part"], ["", "same", "pair", "tool"]))) {
      part["part"] = ((part["part"] === "") ? one["part"] : "both");
     }
     if (((one["part"] !== "tool") && py.truth(apart))) {
      part["unit"] = one["unit"];
     }
    }
   }
   if (((part["part"] === "") && (py.len(parts) > 0) && (tokens[cuts[k]]["stop"] === 0))) {
    part["part"] = parts[parts.length - 1]["part"];
   }
   named_in = py.each(mentions).filter((m) => (part["start"] <= m["start"] && m["start"] < part["end"])).map((m) => (m));
   if (((py.len(parts) > 0) && py.truth(apart) && (py.len(named_in) === 0))) {
    part["unit"] = parts[parts.length - 1]["unit"];
   }
   parts.push(part);
  }
  return parts;
 }
 function _between_parts(tokens, mentions) {
   let between, found, k, one, said, sides, stops;
  sides = py.each(mentions).filter((one) => (py.has(one["part"], ["washer", "dryer", "range", "microwave"]))).map((one) => (one));
  found = [];
  for (k of py.range(1, py.len(sides))) {
   between = tokens.slice(sides[(k - 1)]["end"], py.add(sides[k]["start"], 1));
   said = between.slice(0, -1).filter((one) => (!py.has(one["w"], SAID["between parts"]))).map((one) => (one));
   stops = py.each(between).filter((one) => (one["stop"] > 0)).map((one) => (one));
   if (((!py.eq(sides[k]["part"], sides[(k - 1)]["part"])) && (py.len(said) > 0) && (py.len(stops) === 0))) {
    found.push(sides[k]["start"]);
   }
  }
  return found;
 }
 function _from_its_a(tokens, start) {
   let i;
  for (i of py.range((start - 1), py.max((start - 4), 0), -1)) {
   if (((tokens[i]["stop"] > 0) || (!py.has(tokens[i]["used"], ["", "size", "made"])))) {
    return start;
   }
   if ((py.has(tokens[i]["w"], ["a", "an"]))) {
    return i;
   }
  }
  return start;
 }
 const LONE = { ...py.fromkeys(py.split("cold cools runs good fine ok okay great heats drains", " "), "works"), ...py.fromkeys(py.split("spins dries freezes", " "), "works"), ...py.fromkeys(py.split("bad not junk shot", " "), "broken") };
 function told_apart(tokens, forms, units) {
   let found, left, one, rest, sure, unit;
  if (((py.len(units) !== 1) || (units[0]["count"] < 2))) {
   return units;
  }
  unit = units[0];
  _one_first(tokens, forms, unit);
  rest = _rest_of(tokens, forms, unit);
  if ((py.len(rest) > 0)) {
   return rest;
  }
  sure = _members(tokens, unit, false);
  for (found of [sure, _members(tokens, unit, true)]) {
   left = (unit["count"] - py.sum(py.each(found).map((one) => (one[1]))));
   rest = py.each(found).filter((one) => (one[1] === 0)).map((one) => (one));
   if (((py.len(rest) === 1) && (left > 0))) {
    rest[0][1] = left;
    left = 0;
   }
   if (((py.len(found) > 1) && (left === 0) && (py.len(py.each(found).filter((one) => (one[1] === 0)).map((one) => (one))) === 0))) {
    return _split(tokens, forms, unit, found);
   }
  }
  unit["torn"] = (py.len(_members(tokens, unit, true)) > 0);
  return units;
 }
 function _rest_of(tokens, forms, unit) {
   let at, i, k, last, n, one, others, t, told;
  for (i of py.range(py.max((unit["start"] - 4), 0), (unit["start"] - 2))) {
   n = tokens[i]["n"];
   if (((py.nil(n)) || (tokens[i]["used"] !== "") || (tokens[py.add(i, 1)]["w"] !== "of") || (n >= unit["count"]))) {
    continue;
   }
   last = { ...tokens[i], ["w"]: "rest", ["n"]: null, ["used"]: "units", ["stop"]: 2 };
   tokens[i]["used"] = "units";
   told = py.range(unit["end"], py.len(tokens)).filter((k) => (py.has(tokens[k]["w"], ["other", "others"]))).map((k) => (k));
   at = ((py.len(told) > 0) ? told[0] : py.len(tokens));
   for (one of tokens.slice(at, py.add(at, 2)).filter((t) => (py.has(t["w"], ["other", "others", "one"]))).map((t) => (t))) {
    one["used"] = "units";
   }
   if ((py.len(told) === 0)) {
    tokens.push(last);
    forms.push("");
   }
   if (((py.has("work", forms)) && (py.len(told) === 0))) {
    tokens.push({ ...last, ["w"]: "broken", ["used"]: "", ["stop"]: 0 });
    forms.push("broken");
   }
   others = { ...unit, ["start"]: at, ["end"]: py.add(at, 1), ["count"]: (unit["count"] - py.int(n)), ["unit"]: 1 };
   return [{ ...unit, ["count"]: py.int(n), ["cut"]: at }, { ...others, ["cut"]: at }];
  }
  return [];
 }
 function _one_first(tokens, forms, unit) {
   let begins, i, kind, lead, one, ones, told;
  ones = py.range(unit["end"], py.len(tokens)).filter((i) => (tokens[i]["n"] === 1.0)).map((i) => (i));
  if (((py.len(ones) > 0) && (!py.has(tokens[(ones[0] - 1)]["w"], SAID["told by"])))) {
   return null;
  }
  told = 0;
  for (i of py.range(py.add(unit["end"], 1), py.len(tokens))) {
   [lead, one] = [tokens[(i - 1)], tokens[i]];
   begins = ((lead["stop"] > 0) ? (lead["stop"] > 0) : (py.has(tokens[(i - 2)]["w"], ["the", "and", "a"])));
   kind = ((one["w"] === "one") && (one["stop"] === 0) && (py.has(lead["w"], SAID["told by"])));
   if ((py.truth(kind) && py.truth(begins) && (told < unit["count"]))) {
    [tokens[(i - 1)], tokens[i]] = [{ ...one, ["stop"]: py.max(lead["stop"], 1) }, { ...lead, ["stop"]: 0 }];
    [forms[(i - 1)], forms[i]] = [forms[i], forms[(i - 1)]];
    told = py.more(told, 1);
   }
  }
 }
 function _members(tokens, unit, loose) {
   let after, again, before, begins, i, named, one, out, size;
  out = [];
  i = unit["end"];
  while ((i < py.len(tokens))) {
   one = tokens[i];
   before = tokens[(i - 1)]["w"];
   begins = ((py.eq(i, unit["end"])) ? (py.eq(i, unit["end"])) : _begins(one, tokens[(i - 1)]));
   again = ((py.has(before, SAID["told by"])) && (py.len(out) > 1));
   size = 1;
   if (((py.has(one["w"], SAID["ordinals"])) && (py.truth(begins) || py.truth(loose)))) {
    out.push([i, 1]);
    size = 2;
   } else {
    if (py.truth(_label(tokens, i, py.len(out)))) {
     out.push([i, 1]);
    } else {
     if (((one["w"] === "other") && (before === "the"))) {
      after = ((py.add(i, 1) < py.len(tokens)) ? tokens[py.add(i, 1)] : one);
      named = ((!py.nil(after["n"])) && (after["stop"] === 0));
      out.push([i, (py.truth(named) ? py.int(after["n"]) : 1)]);
      size = (py.truth(named) ? 2 : 1);
     } else {
      if (((py.has(one["w"], SAID["others"])) && py.truth(begins))) {
       out.push([i, 0]);
      } else {
       if ((py.truth(begins) || (py.truth(loose) && (!py.has(before, SAID["no member"])) && py.truth(_lone_or_does(tokens, i))))) {
        if ((!py.truth(again) && py.truth(_counts(tokens, i, unit["count"])))) {
         out.push([i, py.int(one["n"])]);
        }
       }
      }
     }
    }
   }
   i = py.more(i, size);
  }
  return out;
 }
 function _label(tokens, i, k) {
   let after, before, numbered, one, sign;
  [one, before] = [tokens[i], tokens[(i - 1)]];
  after = ((py.add(i, 1) < py.len(tokens)) ? tokens[py.add(i, 1)] : one);
  if ((py.nil(one["n"]))) {
   return ((py.eq(one["w"], "abcdefgh".slice(k, py.add(k, 1)))) && (one["stop"] > 0) && (after["stop"] > 0));
  }
  sign = ((py.has(before["w"], SAID["label"])) && (one["used"] === ""));
  numbered = ((one["used"] === "no") && (!py.has(before["w"], SAID["no member"])));
  numbered = (py.truth(numbered) && !py.truth(py.get(one, "spelled", false)));
  if (((!py.eq(one["n"], py.add(k, 1))) || !(py.truth(sign) || py.truth(numbered)) || (one["money"] !== ""))) {
   return false;
  }
  if (py.truth(sign)) {
   before["used"] = "units";
  }
  return true;
 }
 function _begins(one, before) {
  return ((one["stop"] > 0) || (py.has(before["w"], SAID["before"])) || (!py.nil(before["n"])));
 }
 function _lone_or_does(tokens, i) {
   let after, does;
  after = ((py.add(i, 1) < py.len(tokens)) ? tokens[py.add(i, 1)] : null);
  does = ((!py.nil(after)) && (after["stop"] === 0) && (py.has(after["w"], SAID["does too"])));
  return (py.truth(does) ? does : (tokens[i]["w"] === "one"));
 }
 function _counts(tokens, i, most) {
   let n, one;
  one = tokens[i];
  n = one["n"];
  if (((py.nil(n)) || (one["used"] !== "") || (one["money"] !== "") || py.truth(_ends_there(tokens, i)))) {
   return false;
  }
  return py.truth(((py.eq(n, py.int(n))) && (0 < n && n < most)));
 }
 function _ends_there(tokens, i) {
  if (((tokens[i]["w"] !== "one") || (py.add(i, 1) >= py.len(tokens)))) {
   return (tokens[i]["w"] === "one");
  }
  return ((tokens[py.add(i, 1)]["stop"] > 0) ? (tokens[py.add(i, 1)]["stop"] > 0) : (py.has(tokens[py.add(i, 1)]["w"], SAID["of no unit"])));
 }
 function _split(tokens, forms, unit, members) {
   let at, count, end, its, k, kind, one, out, start, stop, t;
  out = [];
  for (k of py.range(py.len(members))) {
   [at, count] = members[k];
   tokens[at]["used"] = "units";
   forms[at] = "";
   if ((tokens[(at - 1)]["used"] === "units")) {
    forms[(at - 1)] = "";
   }
   if (((py.add(at, 1) < py.len(tokens)) && (!py.nil(tokens[py.add(at, 1)]["n"])))) {
    if ((py.has(tokens[at]["w"], ["other", ...SAID["ordinals"]]))) {
     tokens[py.add(at, 1)]["used"] = "units";
     forms[py.add(at, 1)] = "";
    }
   }
   end = ((py.add(k, 1) < py.len(members)) ? members[py.add(k, 1)][0] : py.len(tokens));
   _lone_word(tokens, forms, py.add(at, 1), end);
   its = ((tokens[at]["w"] === "one") && (py.has(tokens[(at - 1)]["w"], SAID["told by"])));
   its = (py.truth(its) && (!py.has(tokens.slice(py.add(at, 1), py.add(at, 2)).map((t) => (t["w"])), [["gas"], ["electric"]])));
   kind = (py.truth(its) ? (at - 1) : at);
   start = ((k === 0) ? unit["start"] : kind);
   stop = ((k === 0) ? unit["end"] : py.add(at, 1));
   out.push({ ...unit, ["start"]: start, ["end"]: stop, ["count"]: count, ["unit"]: k, ["cut"]: at });
   for (one of [...tokens.slice(kind, at), ...tokens.slice(py.add(at, 1), py.add(at, 2))].filter((t) => (t["stop"] === 0)).map((t) => (t))) {
    if ((py.has(one["w"], ["gas", "electric"]))) {
     out[k]["fuel"] = one["w"];
    }
   }
  }
  return out;
 }
 function _lone_word(tokens, forms, start, end) {
   let cold, i, one, words;
  words = py.range(start, end).filter((i) => ((forms[i] !== "") && (tokens[i]["w"] !== "one"))).map((i) => (i));
  if (((py.len(words) === 0) || (!py.has(tokens[words[0]]["w"], LONE)))) {
   return null;
  }
  if (((py.len(words) === 1) || (tokens[words[1]]["stop"] > 0) || (py.has(tokens[words[1]]["w"], SAID["before"])))) {
   cold = py.len(tokens.slice(0, start).filter((one) => (py.has(py.get(one, "was", ""), ["cold", "cools"]))).map((one) => (one)));
   tokens[words[0]]["was"] = tokens[words[0]]["w"];
   tokens[words[0]]["w"] = LONE[tokens[words[0]]["w"]];
   forms[words[0]] = ((tokens[words[0]]["w"] === "works") ? "work" : "broken");
   if (((cold > 0) && (forms[words[0]] === "broken"))) {
    tokens[words[0]]["w"] = "not cold";
    forms[words[0]] = "not cold";
   }
  }
 }
 return { pair_up, PAIR, mark_mentions, name_again, blank_unit, give_fuel, unit_at, parts_of, LONE, told_apart };
})();
const called_words = (() => {
 const { words_after } = amounts_words;
 const { Field } = breath_words;
 const { listed_at } = kinds_words;
 const { known } = sayings_words;
 const { SAID, Table, Token, Tokens } = tokens_words;
 function take_makers(tokens, units, fields, tables, own) {
   let after, alone, before, brand, called, ends, i, ice, leads, mine, name, one, said, starts, told, word;
  starts = py.each(units).map((one) => (one["start"]));
  mine = py.get(own, "makers", {  });
  for (i of py.range(py.len(tokens))) {
   one = tokens[i];
   if (((one["used"] !== "") || (!py.nil(one["n"])))) {
    continue;
   }
   word = one["w"];
   before = (((i > 0) && (one["stop"] === 0)) ? tokens[(i - 1)]["w"] : "");
   after = ((py.add(i, 1) < py.len(tokens)) ? tokens[py.add(i, 1)] : null);
   if (((!py.nil(after)) && (after["stop"] === 0) && (py.has(after["w"], tables["street"])))) {
    continue;
   }
   if (((py.has(word, mine)) || (py.has(word, tables["makers"])) || (py.has(before, ["maker", "brand", "make"])))) {
    told = (py.has(before, ["maker", "brand", "make"]));
    ends = ((py.nil(after)) || (after["stop"] > 0) || (py.has(py.add(i, 1), starts)) || py.truth(one["cap"]));
    ice = ((i > 1) && (tokens[(i - 2)]["w"] === "ice"));
    if ((py.truth(told) && (!py.truth(ends) || py.truth(known(word, tables)) || py.truth(ice)))) {
     continue;
    }
    if (py.truth(told)) {
     tokens[(i - 1)]["used"] = "maker";
    }
    one["used"] = "maker";
    fields.push(["maker", py.get(mine, word, one["t"]), i]);
    continue;
   }
   brand = ((!py.nil(after)) && (after["w"] === "brand") && (after["stop"] === 0));
   brand = (py.truth(brand) && (!py.has(before, SAID["denies"])));
   if ((py.truth(brand) && py.truth(py.isalpha(word)) && !py.truth(known(word, tables)))) {
    one["used"] = "maker";
    tokens[py.add(i, 1)]["used"] = "maker";
    fields.push(["maker", one["t"], i]);
    continue;
   }
   name = (py.truth(one["cap"]) && py.truth(py.isalpha(word)) && !py.truth(known(word, tables)) && (py.len(word) > 2));
   ends = py.each(SAID["no maker ends"]).filter((said) => py.truth(word.endsWith(said))).map((said) => (said));
   if ((!py.truth(name) || py.truth(py.isupper(one["t"])) || (py.len(ends) > 0))) {
    continue;
   }
   alone = (((py.nil(after)) || (after["stop"] > 0)) && (one["stop"] > 0));
   called = ((i > 0) && (py.has(tokens[(i - 1)]["w"], SAID["caller"])));
   alone = (py.truth(alone) && !py.truth(py.get(one, "bracket", false)) && !py.truth(called));
   leads = ((py.has(py.add(i, 1), starts)) && (py.has(before, ["", "a", "my", "old", "an", "the", "-"])));
   if (((py.truth(alone) || py.truth(leads)) && (!py.has(word, tables["not_makers"])))) {
    one["used"] = "maker";
    fields.push(["maker", one["t"], i]);
   }
  }
 }
 function take_own_features(tokens, fields, own) {
   let i, j, key, one, size;
  for (i of py.range(py.len(tokens))) {
   size = listed_at(tokens, i, py.get(own, "features", {  }), 5);
   if (((size > 0) && (tokens[i]["used"] === ""))) {
    key = tokens.slice(i, py.add(i, size)).map((one) => (one["w"])).join(" ");
    for (j of py.range(i, py.add(i, size))) {
     tokens[j]["used"] = "feature";
    }
    fields.push(["features", own["features"][key], i]);
   }
  }
 }
 function take_place(tokens, fields, tables) {
   let after, before, end, glue, i, j, name, one, road, street, w, words;
  i = 0;
  while ((i < py.len(tokens))) {
   one = tokens[i];
   if (((one["used"] !== "") || (!py.nil(one["n"])))) {
    i = py.more(i, 1);
    continue;
   }
   after = ((py.add(i, 1) < py.len(tokens)) ? tokens[py.add(i, 1)] : null);
   road = (((!py.nil(after)) && (after["stop"] === 0)) ? after["w"] : "way");
   street = ((py.has(road, tables["street"])) && (!py.has(road, ["way", "drive", "place"])));
   street = (py.truth(street) && !py.truth(known(one["w"], tables)));
   before = (((i > 0) && (one["stop"] === 0)) ? tokens[(i - 1)]["w"] : "");
   name = (py.truth(one["cap"]) && (py.has(before, SAID["place before"])) && py.truth(_name_like(one, tables)));
   name = (py.truth(name) ? name : (py.truth(_bracketed(tokens, i)) && !py.truth(known(one["w"], tables))));
   name = (py.truth(name) ? name : _landmark(tokens, i, tables));
   if ((!py.truth(street) && !py.truth(name))) {
    i = py.more(i, 1);
    continue;
   }
   while ((py.truth(street) && (i > 0) && (tokens[i]["stop"] === 0) && py.truth(_leads(tokens[(i - 1)])))) {
    i = i - 1;
   }
   end = py.add(i, 1);
   while (((end < py.len(tokens)) && (tokens[end]["stop"] === 0) && (tokens[end]["used"] === ""))) {
    w = tokens[end]["w"];
    if (!(py.truth(tokens[end]["cap"]) || (py.has(w, tables["street"])) || (py.has(w, SAID["place tail"])) || ((py.has(tokens[(end - 1)]["w"], ["&", "and"])) && (!py.nil(tokens[end]["n"]))) || (py.has(w, ["th", "st", "nd", "rd"])))) {
     break;
    }
    end = py.more(end, 1);
   }
   words = "";
   for (j of py.range(i, end)) {
    glue = (((words === "") || (!py.nil(tokens[(j - 1)]["n"]))) ? "" : " ");
    words = py.more(words, py.add(glue, tokens[j]["t"]));
    tokens[j]["used"] = "place";
   }
   fields.push(["place", words, i]);
   i = end;
  }
 }
 function _landmark(tokens, i, tables) {
   let lead, named, one, rest, start, strange, word;
  start = i;
  while (((start > 0) && (tokens[start]["stop"] === 0))) {
   start = start - 1;
  }
  lead = tokens.slice(start, i).map((one) => (one["w"])).join(" ");
  rest = tokens.slice(i, py.add(py.add(i, 1), py.len(words_after(tokens, i, 4)))).map((one) => (one["w"]));
  strange = py.each(rest).filter((word) => (!py.truth(known(word, tables)) && py.truth(py.isalpha(word)))).map((word) => (word));
  named = ((py.len(strange) > 0) && (py.len(rest) < 4) && (rest[0] !== "the"));
  return (py.truth(named) && (py.has(lead, SAID["landmark"])));
 }
 function _leads(one) {
  return py.truth((py.truth(one["cap"]) && (one["used"] === "") && py.truth(py.isalpha(one["w"]))));
 }
 function _bracketed(tokens, i) {
   let one, rest;
  if (!(py.truth(py.get(tokens[i], "bracket", false)) && py.truth(tokens[i]["cap"]) && py.truth(py.isalpha(tokens[i]["w"])))) {
   return false;
  }
  rest = tokens.slice(py.add(i, 1), py.add(py.add(i, 1), py.len(words_after(tokens, i, 4))));
  return ((py.len(rest) < 4) && (py.len(py.each(rest).filter((one) => !py.truth(one["cap"])).map((one) => (one))) === 0));
 }
 function _name_like(one, tables) {
   let named;
  named = ((py.has(one["w"], tables["kinds"])) ? (py.has(one["w"], tables["kinds"])) : (py.has(one["w"], SAID["months"])));
  return (py.truth(py.truth(py.isalpha(one["w"]))) && !py.truth(py.isupper(one["t"])) && !py.truth(named));
 }
 return { take_makers, take_own_features, take_place };
})();
const looks_words = (() => {
 const { clause_words, says_free } = amounts_words;
 const { Field } = breath_words;
 const { saying_at } = sayings_words;
 const { SAID, Table, Token, Tokens } = tokens_words;
 function take_said(tokens, forms, fields, moment, units, tables) {
   let end, entry, hit, i, n, name, one, starts, took;
  starts = py.each(units).map((one) => (one["start"]));
  n = py.len(tokens);
  _mark_looks(tokens, forms, tables);
  i = 0;
  while ((i < n)) {
   if (((forms[i] === "") || (py.has(tokens[i]["used"], ["type", "tool", "place", "maker"])))) {
    i = py.more(i, 1);
    continue;
   }
   end = py.add(i, 1);
   while (((end < n) && (tokens[end]["stop"] === 0) && (end < py.add(i, 8)))) {
    end = py.more(end, 1);
   }
   took = 0;
   for (hit of saying_at(forms, i, end, tables)) {
    for (entry of py.each(hit[1])) {
     name = tables["names"][entry[0]];
     if (((took === 0) && py.truth(_take(name, i, hit[0], tokens, forms, fields, moment, starts)))) {
      took = (hit[0] - i);
     }
    }
    if ((took > 0)) {
     break;
    }
   }
   i = py.more(i, ((took > 0) ? took : 1));
  }
 }
 function _mark_looks(tokens, forms, tables) {
   let end, entry, hit, i, j, kinds;
  for (i of py.range(py.len(tokens))) {
   if (((forms[i] === "") || (tokens[i]["used"] !== ""))) {
    continue;
   }
   end = py.add(i, 1);
   while (((end < py.len(tokens)) && (tokens[end]["stop"] === 0) && (end < py.add(i, 4)))) {
    end = py.more(end, 1);
   }
   for (hit of saying_at(forms, i, end, tables)) {
    kinds = py.each(hit[1]).map((entry) => (tables["names"][entry[0]][0]));
    if (((py.has("condition", kinds)) || (py.has("finish", kinds)) || (py.has("feature", kinds)))) {
     for (j of py.range(i, hit[0])) {
      tokens[j]["looks"] = true;
     }
    }
   }
  }
 }
 function _take(name, i, end, tokens, forms, fields, moment, starts) {
   let after, before, f, free, guess, j, kind, no, offer, ran, said, t, value, word, words;
  [kind, value] = [name[0], name[2]];
  offer = ((tokens[i]["w"] === "or") ? (tokens[i]["w"] === "or") : ((tokens[i]["w"] === "best") && ((end - i) > 2)));
  free = ["", "no", "stairs", "size", (py.truth(offer) ? "money" : "")];
  words = tokens.slice(i, end).filter((t) => (!py.has(t["used"], free))).map((t) => (t));
  guess = (py.truth(tokens[i]["ask"]) && (i > 0) && (!py.nil(tokens[(i - 1)]["n"])));
  if (((!py.has(kind, FIELD)) || (py.len(words) > 0) || ((kind === "condition") && py.truth(guess)))) {
   return false;
  }
  before = ((tokens[i]["stop"] === 0) ? forms.slice(py.max((i - 2), 0), i).filter((f) => (f !== "")).map((f) => (f)) : []);
  no = ((py.len(before) > 0) && (py.has(before[before.length - 1], ["not", "no", "without"])));
  no = (py.truth(no) && (!py.has(forms[i], ["not", "no"])));
  no = (py.truth(no) ? no : ((kind === "firm") && (py.len(before) > 0) && (py.has(before[before.length - 1], ["go", "get"]))));
  if ((py.truth(no) && (!py.has(kind, ["obo", "noprice", "untold", "idle"])))) {
   return false;
  }
  if ((kind === "stairs")) {
   return _take_stairs(value, i, end, tokens, fields);
  }
  if (((kind === "free") && ((moment !== "offer") || !py.truth(_as_price(tokens, forms, i, end))))) {
   return false;
  }
  if (((kind === "condition") && !py.truth(_as_condition(value, i, end, tokens, forms, moment, starts)))) {
   return false;
  }
  if (((py.has(kind, ["finish", "fuel"])) && !py.truth(_plainly(kind, tokens, forms, i, end, starts)))) {
   return false;
  }
  if (((kind === "feature") && (moment === "bench") && (((end - i) === 1) || (value === "frost-free")))) {
   return false;
  }
  after = (((end < py.len(tokens)) && (tokens[end]["stop"] === 0)) ? tokens[end]["w"] : "");
  ran = (py.len(clause_words(tokens, i, 3).filter((word) => (py.has(word, SAID["ran"]))).map((word) => (word))) > 0);
  if (((value === "self-cleaning") && (py.truth(ran) || (py.has(after, SAID["ran then"]))))) {
   return false;
  }
  if (((kind === "feature") && ((py.has(after, SAID["not a feature"])) || (tokens[i]["w"] === "wires")))) {
   return false;
  }
  if (((value === "frost-free") && (tokens[i]["w"] === "no") && (py.has(after, ["on", "in", "at", "anywhere"])))) {
   return false;
  }
  if ((FIELD[kind] !== "")) {
   said = ((kind === "free") ? 0.0 : ((py.has(kind, ["firm", "obo", "noprice"])) ? true : value));
   fields.push([FIELD[kind], said, i]);
  }
  if (((kind === "obo") && (!py.has(tokens[i]["w"], ["obo", "o", "ono", "or"])))) {
   fields.push(["noprice", true, i]);
  }
  if ((kind === "feature")) {
   for (j of py.range(i, end)) {
    tokens[j]["soft"] = true;
   }
   return true;
  }
  return _use(tokens, i, end, kind);
 }
 const FIELD = { ["free"]: "free", ["firm"]: "firm", ["obo"]: "or_best_offer", ["noprice"]: "noprice", ["stairs"]: "stairs", ["condition"]: "condition", ["untold"]: "", ["idle"]: "", ["finish"]: "finish", ["fuel"]: "fuel", ["feature"]: "features" };
 function _take_stairs(value, i, end, tokens, fields) {
   let before_now, beyond, f, t, w;
  beyond = tokens.slice(end, py.add(end, 2)).map((t) => (t["w"]));
  if ((py.len(py.each(beyond).filter((w) => (py.has(w, SAID[py.add("no ", ((value === "0") ? "elevator" : "floor"))]))).map((w) => (w))) > 0)) {
   return false;
  }
  before_now = py.each(fields).filter((f) => (f[0] === "stairs")).map((f) => (f));
  if (((py.len(before_now) > 0) && (value === "0"))) {
   before_now[0][1] = 0.0;
  } else {
   if ((py.len(before_now) === 0)) {
    fields.push(["stairs", Number(value), i]);
   }
  }
  return _use(tokens, i, end, "stairs");
 }
 function _as_price(tokens, forms, i, end) {
  if ((tokens[i]["w"] === "free")) {
   return says_free(tokens, i);
  }
  return ((!py.has(tokens[i]["w"], ["nothing", "no"])) ? (!py.has(tokens[i]["w"], ["nothing", "no"])) : _alone(tokens, forms, i, end));
 }
 function _as_condition(value, i, end, tokens, forms, moment, starts) {
   let alone, before, behind, ends, leads, who, word;
  before = clause_words(tokens, i, 4);
  who = py.each(before).filter((word) => (py.has(word, SAID["who"]))).map((word) => (word));
  if (((py.len(who) > 0) && (py.len(py.each(before).filter((word) => (py.has(word, SAID["telling"]))).map((word) => (word))) === 0))) {
   return false;
  }
  alone = ((py.has(tokens[(end - 1)]["w"], ["shape", "condition", "cond"])) ? (py.has(tokens[(end - 1)]["w"], ["shape", "condition", "cond"])) : _alone(tokens, forms, i, end));
  behind = ((i > 0) && (py.has(tokens[(i - 1)]["used"], SAID["looks behind"])) && (tokens[i]["stop"] === 0));
  ends = ((end >= py.len(tokens)) || (tokens[end]["stop"] > 0) || (tokens[end]["used"] !== ""));
  if ((py.truth(behind) && (((moment === "ask") && py.truth(ends)) || ((end - i) > 1)))) {
   return true;
  }
  if (((moment === "bench") && ((end - i) === 1))) {
   ends = ((end >= py.len(tokens)) ? (end >= py.len(tokens)) : (tokens[end]["stop"] > 0));
   alone = (py.truth(alone) && py.truth(ends) && (tokens[i]["stop"] > 0));
  }
  leads = ((end < py.len(tokens)) && (tokens[end]["stop"] === 0) && (py.has("looks", tokens[end])));
  if (((moment === "offer") && ((end - i) === 1) && (value === "good") && py.truth(leads))) {
   return false;
  }
  return (py.truth(alone) ? alone : ((moment !== "offer") && py.truth(_by_type(tokens, i, end, starts))));
 }
 function _use(tokens, i, end, what) {
   let one;
  for (one of tokens.slice(i, end)) {
   one["used"] = what;
  }
  return true;
 }
 function _alone(tokens, forms, i, end) {
   let j;
  j = i;
  while (((j > 0) && (tokens[j]["stop"] === 0) && (!py.has(tokens[j]["w"], SAID["split"])))) {
   j = j - 1;
   if ((py.has(tokens[j]["w"], SAID["split"]))) {
    break;
   }
   if (py.truth(_counts(tokens[j], forms[j]))) {
    return false;
   }
   if ((tokens[j]["used"] === "part")) {
    return false;
   }
  }
  j = end;
  while (((j < py.len(tokens)) && (tokens[j]["stop"] === 0) && (!py.has(tokens[j]["w"], SAID["split"])))) {
   if (py.truth(_counts(tokens[j], forms[j]))) {
    return false;
   }
   j = py.more(j, 1);
  }
  return true;
 }
 function _counts(one, form) {
   let looks;
  looks = ((py.has("looks", one)) ? (py.has("looks", one)) : ((!py.nil(one["n"])) && py.truth(one["ask"])));
  return ((form !== "") && (one["used"] === "") && (!py.has(one["w"], SAID["beside"])) && !py.truth(looks));
 }
 function _by_type(tokens, i, end, starts) {
   let after;
  if (((i > 0) && (tokens[(i - 1)]["used"] === "type") && (tokens[i]["stop"] === 0))) {
   return true;
  }
  after = ((end < py.len(tokens)) && (tokens[end]["stop"] === 0));
  return (py.truth(after) && ((tokens[end]["used"] === "type") || (py.has(tokens[end]["w"], ["one", "condition"]))));
 }
 function _plainly(kind, tokens, forms, i, end, starts) {
   let after, before, lone, named, typed;
  if ((py.truth(_alone(tokens, forms, i, end)) || ((i > 0) && (tokens[(i - 1)]["used"] === "units")))) {
   return true;
  }
  after = (((end < py.len(tokens)) && (tokens[end]["stop"] === 0)) ? tokens[end] : null);
  named = ((!py.nil(after)) && (py.has(after["used"], ["type", "maker"])));
  if ((py.truth(named) || ((!py.nil(after)) && (py.has(after["w"], SAID["after looks"]))))) {
   typed = ((i > 0) && (tokens[i]["stop"] === 0) && (tokens[(i - 1)]["used"] === "type"));
   return ((kind !== "fuel") || (py.has(end, starts)) || py.truth(typed));
  }
  lone = ((py.nil(after)) ? (py.nil(after)) : (!py.nil(after["n"])));
  if (((kind === "fuel") && py.truth(lone) && (!py.has(tokens[(i - 1)]["w"], SAID["fuel else"])))) {
   return true;
  }
  if (((kind === "fuel") && (!py.nil(after)) && (py.has(after["w"], ["one", "model", "type", "version"])))) {
   return true;
  }
  before = (((i > 0) && (tokens[i]["stop"] === 0)) ? tokens[(i - 1)] : null);
  if (((!py.nil(before)) && (before["w"] === "all") && (i > 1))) {
   before = tokens[(i - 2)];
  }
  if (((py.nil(before)) || (py.has(before["used"], ["", "fault", "finding"])))) {
   return false;
  }
  if ((kind === "fuel")) {
   return (before["used"] === "type");
  }
  if ((py.has(before["used"], ["made", "age", "size", "miles", "type"]))) {
   return ((py.nil(after)) ? (py.nil(after)) : (!py.has(after["w"], SAID["soiled"])));
  }
  return ((py.nil(after)) || (after["used"] !== "") || (!py.nil(after["n"])));
 }
 return { take_said, FIELD };
})();
const prices_words = (() => {
 const { begins_with, clause_words, from_buyer, gets_part, has_phrase, money_role, part_priced, says_free, words_after } = amounts_words;
 const { Field } = breath_words;
 const { phrase_at } = second_thoughts_words;
 const { SAID, Token, Tokens } = tokens_words;
 function is_money(tokens, i, moment) {
   let after, before, counts, one;
  one = tokens[i];
  if (((one["money"] !== "") || py.truth(py.get(one, "hundreds", false)))) {
   return true;
  }
  before = clause_words(tokens, i, 4);
  after = words_after(tokens, i, 4);
  if (((py.has(before.slice(-1), [["paid"], ["cost"], ["retail"], ["retails"]])) && (moment !== "bench"))) {
   return true;
  }
  counts = begins_with(after, ["bid", "bids", "offer", "offers"]);
  if (((one["n"] < 5) && (py.truth(counts) || py.truth(py.get(one, "spelled", false))))) {
   return false;
  }
  if ((py.truth(begins_with(after, SAID["price after"])) || ((moment !== "bench") && py.truth(for_a_unit(tokens, i))))) {
   return true;
  }
  if (((moment !== "bench") && py.truth(_led(before)))) {
   return true;
  }
  return (py.truth(_is_money_at(before, after, one, moment)) ? _is_money_at(before, after, one, moment) : ((one["n"] >= 5) && py.truth(from_buyer(tokens, i, moment))));
 }
 function _led(before) {
   let bare, n;
  bare = ((py.truth(before.slice(-1)) && (py.has(before[before.length - 1], SAID["about"]))) ? before.slice(0, -1) : before);
  return (py.len([1, 2, 3].filter((n) => (py.has(bare.slice(-n).join(" "), SAID["price before"]))).map((n) => (n))) > 0);
 }
 function _is_money_at(before, after, one, moment) {
   let bench, more;
  if ((moment === "ask")) {
   more = [...SAID["offered after"], ...SAID["asked_now after"], ...SAID["mine after"]];
   return (py.truth(has_phrase(before, SAID["sale near"])) ? has_phrase(before, SAID["sale near"]) : begins_with(after, more));
  }
  bench = ((moment === "bench") && py.truth(_at_bench(before, after, one["n"])));
  if ((py.truth(bench) || ((moment === "offer") && py.truth(_at_call(before, after, one))))) {
   return true;
  }
  if (py.truth(begins_with(after, ["part", "parts", "in parts", "for the part", "in it", "into it"]))) {
   return true;
  }
  return (py.truth(has_phrase(before.slice(-2), ["parts", "part"])) && (one["stop"] === 0));
 }
 function for_a_unit(tokens, i) {
   let after, one;
  after = words_after(tokens, i, 5);
  if ((py.truth(begins_with(after, ["for"])) && (!py.nil(tokens[i]["n"])) && (tokens[i]["n"] >= 5))) {
   for (one of tokens.slice(py.add(i, 2), py.add(py.add(i, 1), py.len(after)))) {
    if (((one["used"] === "type") || (py.get(one, "part", "") === "same"))) {
     return true;
    }
   }
  }
  return false;
 }
 function _at_call(before, after, one) {
   let bought, ends;
  if (py.truth(has_phrase(before, ["pay", "pays"]))) {
   return true;
  }
  ends = ((py.len(after) === 0) ? (py.len(after) === 0) : (py.has(after[0], SAID["and"])));
  if (((py.len(before) === 0) && py.truth(py.get(one, "spelled", false)) && (one["n"] >= 100))) {
   return ((py.len(after) === 0) ? (py.len(after) === 0) : (py.has(after[0], SAID["even"])));
  }
  bought = ((py.eq(before.slice(-1), ["for"])) && (one["n"] >= 5));
  return (py.truth(bought) && py.truth(ends) && !py.truth(has_phrase(before, SAID["runs for"])));
 }
 function _at_bench(before, after, n) {
  if (py.truth(begins_with(after, ["for", "more", "spent", "so far", "in parts", "sunk"]))) {
   return true;
  }
  if (py.truth(has_phrase(before, SAID["spent before"]))) {
   return true;
  }
  if (((n >= 5) && (py.len(before) === 0) && (py.len(after) > 0))) {
   if (((py.has(after[0], SAID["priced ends"].slice(4))) || ((py.has(after[0], SAID["sells"])) && (after[0] !== "set")))) {
    return true;
   }
  }
  return ((py.truth(gets_part(before)) && (py.len(after) === 0)) ? (py.truth(gets_part(before)) && (py.len(after) === 0)) : part_priced(before, after, n));
 }
 function take_money(tokens, forms, moment, fields, n_units) {
   let f, first, i, one, role, signed, surer, value;
  _came_down(tokens);
  signed = py.range(py.len(tokens)).filter((i) => (tokens[i]["money"] !== "")).map((i) => (i));
  for (i of [...signed, ...py.range(py.len(tokens))]) {
   one = tokens[i];
   if (((!py.nil(one["n"])) && py.truth(has_phrase(clause_words(tokens, i, 2), ["instead of"])))) {
    one["used"] = "no";
    continue;
   }
   if (((py.nil(one["n"])) || (one["used"] !== ""))) {
    continue;
   }
   if (!(py.truth(is_money(tokens, i, moment)) || ((n_units > 1) && py.truth(_as_the_others(tokens, i, fields))))) {
    continue;
   }
   if (py.truth(_range_of_two(tokens, i))) {
    continue;
   }
   role = money_role(tokens, i, moment);
   if ((role === "open")) {
    one["used"] = "open";
    fields.push(["open", one["n"], i]);
    continue;
   }
   one["used"] = role;
   value = one["n"];
   if ((role === "pays")) {
    role = "their_price";
    value = -value;
   }
   if ((role !== "no")) {
    first = py.each(fields).filter((f) => ((py.eq(f[0], role)) && (py.has(f[0], ["their_price", "asked_now"])))).map((f) => (f));
    surer = ((n_units < 2) && (py.len(first) > 0) && py.truth(_asked(tokens, i)));
    surer = (py.truth(surer) && !py.truth(_asked(tokens, first[0][2])));
    if ((py.truth(surer) || ((py.len(first) > 0) && ((value < 0) || py.truth(_lower(tokens, i, first[0])))))) {
     tokens[first[0][2]]["used"] = "no";
     py.remove(fields, first[0]);
    }
    fields.push([role, value, i]);
    _mark_money_words(tokens, i);
    if (((role === "offered") && (py.eq(words_after(tokens, i, 2), ["for", "parts"])))) {
     forms[py.add(i, 2)] = "";
     tokens[py.add(i, 2)]["used"] = "their_price";
    }
    fields.push([_for_whom(tokens, i), role, i]);
   }
  }
  if ((moment === "offer")) {
   _take_free(tokens, fields);
  }
 }
 function _take_free(tokens, fields) {
   let after, i, one, said;
  for (i of py.range(py.len(tokens))) {
   said = phrase_at(tokens, i, SAID["free said"]);
   after = words_after(tokens, (py.add(i, said) - 1), 2);
   if (((said > 0) && !((py.len(after) > 0) && (py.has(after[0], ["for", "if"]))))) {
    fields.push(["free", 0.0, i]);
    for (one of tokens.slice(i, py.add(i, said))) {
     one["used"] = ((one["used"] !== "") ? one["used"] : "their_price");
    }
   }
   if (((tokens[i]["w"] === "free") && (tokens[i]["used"] === "") && py.truth(says_free(tokens, i)))) {
    tokens[i]["used"] = "their_price";
    fields.push(["free", 0.0, i]);
    fields.push([_for_whom(tokens, i), "free", i]);
   }
  }
 }
 function _came_down(tokens) {
   let first, i, last;
  for (i of py.range(1, (py.len(tokens) - 2))) {
   [first, last] = [tokens[i]["n"], tokens[py.add(i, 2)]["n"]];
   if (((py.nil(first)) || (py.nil(last)) || !(5 <= last && last < first))) {
    continue;
   }
   if (((tokens[(i - 1)]["w"] === "from") && (tokens[py.add(i, 1)]["w"] === "to"))) {
    tokens[i]["used"] = "no";
    tokens[py.add(i, 1)]["used"] = "money";
    tokens[py.add(i, 2)]["money"] = ((tokens[py.add(i, 2)]["used"] === "") ? "$" : "");
   }
  }
 }
 function _as_the_others(tokens, i, fields) {
   let ends, f, named, priced, word;
  named = ((i > 0) && ((tokens[(i - 1)]["used"] === "type") || (py.get(tokens[(i - 1)], "part", "") === "same")));
  ends = (py.eq(words_after(tokens, i, 1).filter((word) => (!py.has(word, SAID["and"]))).map((word) => (word)), []));
  priced = (py.len(py.each(fields).filter((f) => (py.has(f[0], SAID["prices"]))).map((f) => (f))) > 0);
  return (py.truth(named) && py.truth(ends) && (tokens[i]["n"] >= 5) && (tokens[i]["stop"] === 0) && py.truth(priced));
 }
 function _asked(tokens, i) {
   let before, n, said;
  before = clause_words(tokens, i, 4);
  said = [1, 2, 3, 4].filter((n) => (py.has(before.slice(-n).join(" "), SAID["lead price"]))).map((n) => (n));
  return ((py.len(said) > 0) ? (py.len(said) > 0) : begins_with(words_after(tokens, i, 3), ["obo", "firm", "or best"]));
 }
 function _lower(tokens, i, first) {
   let before;
  before = clause_words(tokens, i, 5);
  if (((tokens[(first[2] - 1)]["w"] === "wants") && py.truth(has_phrase(before, SAID["i bid"])))) {
   return false;
  }
  return ((0 < tokens[i]["n"] && tokens[i]["n"] < first[1]) && (first[2] < i) && py.truth(has_phrase(before, SAID["lower"])));
 }
 function _range_of_two(tokens, i) {
   let j, middle, step;
  for (step of [2, -2]) {
   j = py.add(i, step);
   if (((0 <= j && j < py.len(tokens)) && (!py.nil(tokens[j]["n"])))) {
    middle = tokens[((step > 0) ? py.add(i, 1) : (i - 1))]["w"];
    if (((py.has(middle, ["to", "-", "or"])) && (py.has(tokens[j]["used"], ["", "open"])))) {
     return true;
    }
   }
  }
  return false;
 }
 function _mark_money_words(tokens, i) {
   let j;
  j = i;
  while (((j > 0) && (j > (i - 3)) && (tokens[j]["stop"] === 0))) {
   j = j - 1;
   if (((py.has(tokens[j]["w"], SAID["money words"])) && (tokens[j]["used"] === ""))) {
    tokens[j]["used"] = "money";
   }
  }
  j = py.add(i, 1);
  while (((j < py.len(tokens)) && (j < py.add(i, 5)) && (tokens[j]["stop"] === 0))) {
   if (((py.has(tokens[j]["w"], SAID["money words"])) && (tokens[j]["used"] === ""))) {
    tokens[j]["used"] = "money";
   }
   j = py.more(j, 1);
  }
 }
 function _for_whom(tokens, i) {
   let after, before, w;
  after = words_after(tokens, i, 5).filter((w) => (!py.has(w, SAID["currency"]))).map((w) => (w));
  before = clause_words(tokens, i, 2);
  if (py.truth(begins_with(after, SAID["for each"]))) {
   return "for each";
  }
  if ((py.truth(begins_with(after, SAID["for all"])) || py.truth(has_phrase(before, ["both for", "all for"])))) {
   return "for all";
  }
  return "for one";
 }
 return { is_money, for_a_unit, take_money };
})();
const troubles_words = (() => {
 const { saying_at } = sayings_words;
 const { SAID, Table, Tokens } = tokens_words;
 const UNTOLD = "not known / \"doesn't work\"";
 const WORKS = "works; owner upgraded";
 const WEAK = [UNTOLD, WORKS, "dents or scratches only", "parts missing", "nothing said", "door, lid or handle broken"];
 const DENY = ["not", "no", "without", "never", "zero", "isn't", "none"];
 const PAIRS = [["gas", "electric"], ["top-load", "front-load"]];
 function open_side(only, sides) {
   let pair, pairs;
  pairs = py.each(PAIRS).filter((pair) => (py.has(only, pair))).map((pair) => (pair));
  return (py.len(py.each(pairs).filter((pair) => ((!py.has(pair[0], sides)) && (!py.has(pair[1], sides)))).map((pair) => (pair))) > 0);
 }
 function side_fits(only, sides, plain) {
  if (((only === "") || (py.has(only, sides)))) {
   return true;
  }
  return (py.truth(open_side(only, sides)) ? open_side(only, sides) : (py.truth(plain) && (only === "induction")));
 }
 function side_of(name) {
   let known, side;
  if (!py.truth(name.endsWith(")"))) {
   return "";
  }
  side = name.slice(py.add(name.lastIndexOf("("), 1), -1);
  known = ["gas", "electric", "top-load", "front-load", "induction", "ice machine"];
  return ((py.has(side, known)) ? side : "");
 }
 function shown_name(name, sides) {
   let side;
  side = side_of(name);
  if (((side !== "") && py.truth(open_side(side, sides)))) {
   return name.slice(0, name.lastIndexOf(" ("));
  }
  return name;
 }
 function _not_there(name, unit) {
   let burning, cold, f, fault, kind, pumps;
  [fault, kind] = [name[2], unit["type"]];
  if ((fault.slice(0, 6) === "sealed")) {
   cold = py.each(unit["families"]).filter((f) => (py.has(f, ["fridge", "air", "none"]))).map((f) => (f));
   pumps = (py.truth(unit["plain"]) ? unit["plain"] : (py.has(kind.slice(0, 4), ["heat", "all-", ""])));
   return ((py.len(cold) === 0) && !py.truth(pumps));
  }
  if ((!py.has(name[1], ["range", "air"]))) {
   return false;
  }
  if (py.truth(kind.endsWith("cooktop"))) {
   return ((fault.slice(0, 4) === "oven") ? (fault.slice(0, 4) === "oven") : (py.has(fault, ["only bake or only broil works", "door lock stuck"])));
  }
  if (((kind === "dehumidifier") || (kind.slice(-2) === "AC"))) {
   return ((py.eq((fault === "blows warm"), (kind === "dehumidifier"))) && (py.has(fault, SAID["of air"])));
  }
  burning = ((py.has("burner", fault)) || (py.has("cooktop", fault)) || (fault.slice(0, 4) === "zone"));
  return (py.truth(burning) && (py.has(kind.slice(0, 9), ["wall oven", "double wa"])));
 }
 function fits_unit(name, only, unit) {
   let family, held, side;
  if ((name[0] === "fault")) {
   if (py.truth(_not_there(name, unit))) {
    return false;
   }
   if (((!py.has(name[1], ["any", "danger"])) && (!py.has(name[1], unit["families"])))) {
    return false;
   }
   side = ((only !== "") ? only : side_of(name[2]));
   return side_fits(side, unit["sides"], unit["plain"]);
  }
  held = py.split(name[1], ";").filter((family) => (py.has(family, unit["families"]))).map((family) => (family));
  return ((py.len(held) > 0) ? (py.len(held) > 0) : (py.len(unit["families"]) === 0));
 }
 function _rank(name, only, unit) {
   let place, side;
  if ((name[1] === "danger")) {
   place = 0.0;
  } else {
   if ((name[1] === "any")) {
    place = 80.0;
   } else {
    place = py.add(10.0, (10 * unit["families"].indexOf(name[1])));
   }
  }
  side = side_of(name[2]);
  if (((side !== "") && (!py.has(side, unit["sides"])))) {
   place = py.more(place, py.add(2, (py.len(name[2]) / 100)));
  }
  return place;
 }
 function best_fault(entries, unit, tables) {
   let at, best, entry, name, place;
  best = [];
  at = 1000.0;
  for (entry of py.each(entries)) {
   name = tables["names"][entry[0]];
   if (((name[0] !== "fault") || !py.truth(fits_unit(name, entry[1], unit)))) {
    continue;
   }
   place = _rank(name, entry[1], unit);
   if ((place < at)) {
    at = place;
    best = [name[1], name[2]];
   }
  }
  return best;
 }
 function denied(forms, i, start) {
   let j;
  j = (i - 1);
  while ((j >= start)) {
   if ((forms[j] !== "")) {
    return ((py.has(forms[j], DENY)) ? (py.has(forms[j], DENY)) : ((py.has(forms[j], SAID["passed over"])) && py.truth(denied(forms, j, start))));
   }
   j = j - 1;
  }
  return false;
 }
 function _denied_saying(forms, i, start, words) {
   let most;
  most = (((i > start) && (py.has(forms[(i - 1)], ["no", "without", "zero"]))) ? 3 : 2);
  return ((words <= most) && (!py.has(forms[i], DENY)) && py.truth(denied(forms, i, start)));
 }
 function faults_said(forms, start, end, unit, tables) {
   let best, f, found, hit, i, more, no, took, words;
  found = [];
  i = start;
  while ((i < end)) {
   took = 0;
   if ((forms[i] !== "")) {
    for (hit of saying_at(forms, i, end, tables)) {
     best = best_fault(hit[1], unit, tables);
     more = (forms.slice(hit[0], end).join("") !== "");
     if ((((hit[0] - i) > 1) && (forms[(hit[0] - 1)] === "not") && py.truth(more))) {
      continue;
     }
     if ((py.len(best) > 0)) {
      words = py.len(forms.slice(i, hit[0]).filter((f) => (f !== "")).map((f) => (f)));
      no = _denied_saying(forms, i, start, (words - ((best[0] === "danger") ? 2 : 0)));
      found.push([i, hit[0], best[0], best[1], words, no]);
      took = (hit[0] - i);
      break;
     }
    }
   }
   i = py.more(i, ((took > 0) ? took : 1));
  }
  return found;
 }
 function choice_in(choice) {
  return ((py.has(choice, SAID["whole choices"])) ? py.add(py.add(" ", choice), " ") : py.add(" ", choice));
 }
 function ready_signs(rows) {
   let group, groups, one, ready, row;
  ready = [];
  for (row of py.each(rows)) {
   groups = py.each(row[1]).map((group) => (py.each(group).map((one) => (choice_in(one)))));
   ready.push([row[0], groups, py.each(row[2]).map((one) => (choice_in(one))), ...row.slice(3)]);
  }
  return ready;
 }
 function sign_fits(text, groups, none_of) {
   let choice, group, hit, word;
  for (group of py.each(groups)) {
   hit = false;
   for (choice of py.each(group)) {
    if ((text.indexOf(choice) >= 0)) {
     hit = true;
     break;
    }
   }
   if (!py.truth(hit)) {
    return false;
   }
  }
  for (word of py.each(none_of)) {
   if ((text.indexOf(word) >= 0)) {
    return false;
   }
  }
  return true;
 }
 function sign_of(text, families, names, unit, tables) {
   let apart, name, pair, plain, row, said;
  plain = without_one(text, ["no", "not", "without", "zero"]);
  for (row of _signs_of(families, tables)) {
   name = tables["names"][row[0]];
   if (((py.len(names) > 0) && (!py.has(name[2], names)))) {
    continue;
   }
   said = (py.truth(row[4]) ? text : plain);
   if ((!py.truth(sign_fits(said, row[1], row[2])) || !py.truth(fits_unit(name, row[3], unit)))) {
    continue;
   }
   apart = py.each(row[5]).filter((pair) => !py.truth(_borne(said, pair))).map((pair) => (pair));
   if ((py.len(apart) === 0)) {
    return [name[1], name[2], py.len(row[1]), row[1]];
   }
  }
  return [];
 }
 function _signs_of(families, tables) {
   let by, key, ready, row, rows;
  by = py.first(tables, "signs_of", {  });
  key = families.join("|");
  if ((!py.has(key, by))) {
   rows = py.each(tables["signs"]).filter((row) => (py.has(tables["names"][row[0]][1], families))).map((row) => (row));
   ready = ready_signs(rows);
   by[key] = py.each(ready).map((row) => ([...row, _denies(row[1]), _denied_group(row[1])]));
  }
  return by[key];
 }
 function _borne(text, pair) {
  return (((py.len(pair[0]) > 0) && py.truth(sign_fits(text, [pair[0]], []))) ? ((py.len(pair[0]) > 0) && py.truth(sign_fits(text, [pair[0]], []))) : denied_near(text, pair[1]));
 }
 function _denied_group(groups) {
   let choice, found, i, more;
  found = [];
  for (i of py.range(((py.len(groups) > 1) ? py.len(groups) : 0))) {
   more = py.each(groups[i]).filter((choice) => (!py.has(choice.trim(), ["not", "no", "never"]))).map((choice) => (choice));
   if ((py.len(more) < py.len(groups[i]))) {
    found.push([more, groups[((py.add(i, 1) < py.len(groups)) ? py.add(i, 1) : (i - 1))]]);
   }
  }
  return found;
 }
 function denied_near(text, group) {
   let clause, i, near, words;
  for (clause of py.split(text, "|")) {
   words = py.split(clause.trim(), " ");
   for (i of py.range(py.len(words))) {
    near = py.add(py.add(" ", words.slice(py.max((i - 4), 0), py.add(i, 6)).join(" ")), " ");
    if (((py.has(words[i], ["not", "no", "never"])) && py.truth(sign_fits(near, [group], [])))) {
     return true;
    }
   }
  }
  return false;
 }
 function _denies(groups) {
   let choice, group, w, words;
  words = py.each(groups).map((group) => (py.each(group).map((choice) => (choice.trim())))).flat();
  return (py.len(py.each(words).filter((w) => ((py.has(w, SAID["denies"])) || (py.has(w.slice(0, 3), ["not", "no "])))).map((w) => (w))) > 0);
 }
 function without_one(text, denials) {
   let out, skip, word;
  out = " ";
  skip = false;
  for (word of py.split(text.trim(), " ")) {
   if ((py.truth(skip) && ((py.has(word, NO_MORE)) || (py.has(word, py.get(SAID, "how much", [])))))) {
    continue;
   }
   if (!py.truth(skip)) {
    out = py.more(out, py.add(word, " "));
   }
   skip = (!py.truth(skip) && (py.has(word, denials)));
  }
  return out;
 }
 function text_of(tokens, forms, start, end, skip) {
   let apart, bare, i, one, text, word;
  text = " ";
  bare = false;
  for (i of py.range(start, end)) {
   one = tokens[i];
   if ((py.has(one["used"], skip))) {
    continue;
   }
   word = one["w"];
   apart = ((one["stop"] > 0) ? (one["stop"] > 0) : (py.has(word, SAID["split"])));
   text = py.more(text, ((py.truth(apart) && (py.len(text) > 1)) ? "| " : ""));
   text = py.more(text, ((py.truth(bare) && (py.has(forms[i], SAID["doings"]))) ? "not " : ""));
   bare = (word === "no");
   if (((forms[i] === "not") || py.truth(forms[i].startsWith("not ")))) {
    text = py.more(text, "not ");
    if ((py.has(word, ["quit", "quits", "stopped"]))) {
     text = py.more(text, py.add(word, " "));
    }
    continue;
   }
   text = py.more(text, py.add(word, " "));
   if ((forms[i] === "one burner")) {
    text = py.more(text, py.add(forms[i], " "));
   } else {
    if (((!py.has(forms[i], ["", word])) && (forms[i].indexOf(" ") < 0) && (py.len(forms[i]) > 3))) {
     if (!py.truth(word.startsWith(forms[i]))) {
      text = py.more(text, py.add(forms[i], " "));
     }
    }
   }
  }
  return text;
 }
 const NO_MORE_SAID = "so much as whiff any even sign signs smell smells odor of a trace hint like";
 const NO_MORE = ["made", "make", "makes", "making", "ever", "had", "has", "on", ...py.split(NO_MORE_SAID, " ")];
 function without_denied(text) {
   let out, skip, word, words;
  words = py.split(text.trim(), " ");
  out = " ";
  skip = 0;
  for (word of py.each(words)) {
   if ((py.has(word, ["no", "without", "never", "not", "zero"]))) {
    skip = 2;
    continue;
   }
   if (((skip === 2) && (py.has(word, NO_MORE)))) {
    continue;
   }
   if (((skip > 0) && (py.has(word, ["or", "nor"])))) {
    skip = 1;
    continue;
   }
   if ((py.has(word, ["but", "and", "just", "only"]))) {
    skip = 0;
   }
   if ((skip > 0)) {
    skip = skip - 1;
    continue;
   }
   out = py.more(out, py.add(word, " "));
  }
  return out;
 }
 function read_part(tokens, forms, start, end, unit, tables) {
   let away, denied_hits, got, h, hit, k, names, pair, rest, said, sign, signs, spans, text, told, whole, words;
  text = text_of(tokens, forms, start, end, SAID["not signs"]);
  said = faults_said(forms, start, end, unit, tables);
  rest = py.range(start, end).filter((k) => ((forms[k] !== "") && (!py.has("part", tokens[k])))).map((k) => (forms[k]));
  if (((py.eq(rest, ["not"])) && (py.len(said) === 0))) {
   return whole_part(["any", UNTOLD], start, end, true);
  }
  denied_hits = py.each(said).filter((hit) => (py.truth(hit[5]) && (!py.eq(hit[3], WORKS)))).map((hit) => (hit));
  said = py.each(said).filter((hit) => !py.truth(hit[5])).map((hit) => (hit));
  away = py.each(denied_hits).map((hit) => ([hit[0], hit[1]]));
  got = { ["names"]: [], ["spans"]: away, ["words"]: [...away], ["weak"]: false };
  signs = { ["text"]: text, ["unit"]: unit, ["tables"]: tables, ["part"]: [start, end] };
  signs["tokens"] = tokens;
  signs["forms"] = forms;
  signs["free"] = (py.len(denied_hits) === 0);
  _take(py.each(said).filter((hit) => (hit[2] === "danger")).map((hit) => (hit)), got);
  if ((py.len(got["names"]) === 0)) {
   whole = text_of(tokens, forms, start, end, ["their_price", "miles", "age", "place"]);
   sign = sign_of(without_denied(whole), ["danger"], [], unit, tables);
   _take_sign(sign, signs, got);
  }
  told = py.each(said).filter((h) => (py.eq(h[3], UNTOLD))).map((h) => (h));
  if (((py.len(told) === 1) && (py.len(got["names"]) === 0) && py.truth(_covers(forms, tokens, start, end, told[0])))) {
   return whole_part([told[0][2], UNTOLD], start, end, true);
  }
  pair = sign_of(text, unit["families"], tables["together"], unit, tables);
  if (((py.len(pair) > 0) && (pair[2] > 1) && (py.len(got["names"]) === 0))) {
   names = [[pair[0], pair[1]]];
   for (hit of py.each(said)) {
    if (((py.has(hit[3], tables["together"])) && (hit[4] > 2) && (hit[2] !== "danger"))) {
     names = [[hit[2], hit[3]]];
    }
   }
   spans = [[start, end]];
   words = [...words_of_sign(pair[3], signs), ...py.each(said).map((hit) => ([hit[0], hit[1]]))];
   return { ["names"]: names, ["spans"]: spans, ["words"]: words, ["weak"]: false };
  }
  _add_plain(said, got, signs);
  got["weak"] = (py.len(got["names"]) === 0);
  _add_weak(said, got, signs);
  return got;
 }
 function whole_part(name, start, end, weak) {
  return { ["names"]: [name], ["spans"]: [[start, end]], ["words"]: [[start, end]], ["weak"]: weak };
 }
 function _take(hits, got) {
   let hit;
  for (hit of py.each(hits)) {
   if ((!py.has([hit[2], hit[3]], got["names"]))) {
    got["names"].push([hit[2], hit[3]]);
   }
   got["spans"].push([hit[0], hit[1]]);
   got["words"].push([hit[0], hit[1]]);
  }
 }
 function _take_sign(sign, signs, got) {
  if (((py.len(sign) > 0) && (py.len(got["names"]) === 0))) {
   got["names"].push([sign[0], sign[1]]);
   got["spans"].push(signs["part"]);
   got["words"] = py.more(got["words"], words_of_sign(sign[3], signs));
  }
 }
 function words_of_sign(groups, signs) {
   let end, form, found, group, hit, i, one, said, sought, start, word;
  [start, end] = signs["part"];
  sought = [];
  for (group of py.each(groups)) {
   sought = py.more(sought, py.split(group.join(" "), " "));
  }
  found = [];
  for (i of py.range(start, end)) {
   form = signs["forms"][i];
   hit = ((form.slice(0, 3) === "not") ? (form.slice(0, 3) === "not") : (py.has("code", signs["tokens"][i])));
   for (word of py.each(sought).filter((one) => (one !== "")).map((one) => (one))) {
    for (said of [signs["tokens"][i]["w"], form]) {
     hit = (py.truth(hit) || (py.eq(said, word)) || ((py.len(word) > 2) && py.truth(said.startsWith(word))));
    }
   }
   if (py.truth(hit)) {
    found.push([i, py.add(i, 1)]);
   }
  }
  return found;
 }
 function _apart(hit, got) {
   let i, span, taken;
  taken = py.each(got["words"]).map((span) => (py.range(span[0], span[1]).map((i) => (i)))).flat();
  return ((py.len(got["names"]) === 0) ? (py.len(got["names"]) === 0) : (py.len(py.range(hit[0], hit[1]).filter((i) => (!py.has(i, taken))).map((i) => (i))) > 0));
 }
 function _add_plain(said, got, signs) {
   let h, hit, longest, sign, strong, tables, unit;
  [unit, tables] = [signs["unit"], signs["tables"]];
  strong = py.each(said).filter((h) => ((h[2] !== "danger") && (!py.has(h[3], WEAK)) && py.truth(_apart(h, got)))).map((h) => (h));
  longest = py.max([0, ...py.each(strong).map((hit) => (hit[4]))]);
  sign = [];
  if (((longest < 2) && py.truth(signs["free"]))) {
   sign = sign_of(signs["text"], ["any"], SAID["strong any"], unit, tables);
   if ((py.len(sign) === 0)) {
    sign = sign_of(signs["text"], unit["families"], [], unit, tables);
   }
  }
  if (((py.len(sign) > 0) && ((longest === 0) || (sign[2] > 1)))) {
   _take_sign(sign, signs, got);
  } else {
   _take(strong, got);
  }
 }
 function _add_weak(said, got, signs) {
   let away, hit, i, only, plate, runs, sign, weak, well;
  plate = sign_fits(signs["text"], [[" serial", " plate", " tag ", " sticker", " number"]], []);
  away = (py.truth(plate) ? ["dents or scratches only", "parts missing"] : []);
  weak = py.each(said).filter((hit) => ((py.has(hit[3], WEAK)) && (!py.has(hit[3], away)))).map((hit) => (hit));
  only = (signs["text"].indexOf(" only ") >= 0);
  runs = py.range(signs["part"][0], signs["part"][1]).filter((i) => py.truth(_of_a_part(i, signs))).map((i) => (i));
  weak = py.each(weak).filter((hit) => ((!py.eq(hit[3], WORKS)) || !(py.truth(only) || (py.has(hit[0], runs))))).map((hit) => (hit));
  _take(py.each(weak).filter((hit) => (py.truth(got["weak"]) || (py.eq(hit[3], WORKS)))).map((hit) => (hit)), got);
  if (((py.len(got["names"]) === 0) && py.truth(signs["free"]))) {
   sign = sign_of(signs["text"], ["any"], [], signs["unit"], signs["tables"]);
   well = ((py.truth(only) || (py.len(runs) > 0)) && (py.eq(sign.slice(1, 2), [WORKS])));
   _take_sign((py.truth(well) ? [] : sign), signs, got);
  }
 }
 function _of_a_part(i, signs) {
   let before, part;
  if (((py.eq(i, signs["part"][0])) || (!py.has(signs["tokens"][i]["w"], SAID["does"])))) {
   return false;
  }
  before = signs["tokens"][(i - 1)];
  part = ((py.has(before["w"], SAID["parts well"])) ? (py.has(before["w"], SAID["parts well"])) : (py.has(before["w"], SAID["parts tested"])));
  return (py.truth(part) && py.truth(py.truth((before["used"] === ""))));
 }
 function _covers(forms, tokens, start, end, hit) {
   let i;
  for (i of py.range(start, end)) {
   if (((hit[0] <= i && i < hit[1]) || (py.has(forms[i], ["", "and", "all", "at", "just"])) || py.truth(tokens[i]["n"]))) {
    continue;
   }
   return false;
  }
  return true;
 }
 function mark(tokens, spans) {
   let counts, one, span;
  for (span of py.each(spans)) {
   for (one of tokens.slice(span[0], span[1])) {
    counts = ((!py.nil(one["n"])) && !(py.truth(py.get(one, "spelled", false)) && (one["n"] < 5)));
    if (((one["used"] === "") && !py.truth(counts))) {
     one["used"] = "fault";
    }
   }
  }
 }
 function findings_said(forms, start, end, unit, tables) {
   let f, found, hit, i, name, took, words;
  found = [];
  i = start;
  while ((i < end)) {
   took = 0;
   if ((forms[i] !== "")) {
    for (hit of saying_at(forms, i, end, tables)) {
     name = _finding(hit[1], unit, tables);
     if ((name !== "")) {
      words = py.len(forms.slice(i, hit[0]).filter((f) => (f !== "")).map((f) => (f)));
      found.push([i, hit[0], name, words]);
      took = (hit[0] - i);
      break;
     }
    }
   }
   i = py.more(i, ((took > 0) ? took : 1));
  }
  return found;
 }
 function _finding(entries, unit, tables) {
   let entry, name;
  for (entry of py.each(entries)) {
   name = tables["names"][entry[0]];
   if (((name[0] === "finding") && py.truth(fits_unit(name, entry[1], unit)))) {
    return String(name[2]);
   }
  }
  return "";
 }
 function tidy_faults(named, several, sides, wider) {
   let danger, firm, n, names, one, ordinary, wide;
  names = [];
  danger = false;
  for (one of py.each(named)) {
   if ((!py.has(one[1], names))) {
    names.push(one[1]);
   }
   danger = (py.truth(danger) ? danger : (one[0] === "danger"));
  }
  names = py.each(names).filter((n) => (n !== "nothing said")).map((n) => (n));
  firm = py.each(names).filter((n) => (!py.has(n, [WORKS, UNTOLD]))).map((n) => (n));
  names = py.each(names).filter((n) => ((!py.eq(n, WORKS)) || !py.truth(danger) || (py.has("pests", names)))).map((n) => (n));
  if ((py.len(py.each(firm).filter((n) => (!py.has(n, SAID["no trouble"]))).map((n) => (n))) > 0)) {
   firm = py.each(firm).filter((n) => (n !== "worked when stored")).map((n) => (n));
  }
  ordinary = py.each(named).filter((one) => ((one[0] !== "danger") && (py.has(one[1], firm)))).map((one) => (one[1]));
  if ((py.len(ordinary) > 0)) {
   names = firm;
  } else {
   if ((py.len(firm) > 0)) {
    names = py.each(names).filter((n) => (!py.eq(n, UNTOLD))).map((n) => (n));
   }
  }
  if (((py.has(UNTOLD, names)) && (py.has(WORKS, names)))) {
   names = py.each(names).filter((n) => (!py.eq(n, WORKS))).map((n) => (n));
  }
  for (wide of py.each(wider)) {
   if (py.truth(several)) {
    break;
   }
   if (((py.has(wide, names)) && (py.len(py.each(names).filter((n) => (py.has(n, wider[wide]))).map((n) => (n))) > 0))) {
    names = py.each(names).filter((n) => (!py.eq(n, wide))).map((n) => (n));
   }
  }
  return py.list(py.fromkeys(py.each(names).map((n) => (shown_name(n, sides)))));
 }
 return { UNTOLD, WORKS, WEAK, DENY, PAIRS, open_side, side_fits, side_of, shown_name, fits_unit, best_fault, denied, faults_said, choice_in, ready_signs, sign_fits, sign_of, denied_near, without_one, text_of, NO_MORE_SAID, NO_MORE, without_denied, read_part, whole_part, words_of_sign, mark, findings_said, tidy_faults };
})();
const halves_words = (() => {
 const { SAID, Table, Tables, Tokens } = tokens_words;
 const TOP = { ["top-freezer fridge"]: "freezer", ["bottom-freezer/French-door fridge"]: "fridge" };
 const BOTTOM = { ["top-freezer fridge"]: "fridge", ["bottom-freezer/French-door fridge"]: "freezer" };
 const WARMEST = { ["whole"]: 44, ["fridge"]: 44, ["freezer"]: 24 };
 function told_by_halves(tokens, forms, parts, k, unit) {
   let bad, cold, fault, held, one, part, row, states, warm, well;
  cold = ((py.has("fridge", unit["families"])) && (py.has(unit["type"], SAID["two halves"])));
  held = py.each(unit["families"]).filter((one) => (py.has(one, ["washer", "range"]))).map((one) => (one));
  if (((!py.truth(cold) && (py.len(held) === 0)) || (py.has("front-load", unit["sides"])))) {
   return "";
  }
  states = {  };
  for (part of py.each(parts)) {
   if (((py.eq(part["unit"], k)) && !py.truth(py.get(part, "found", false)))) {
    _turns_in(tokens, forms, part, states);
    _states_in(tokens, forms, part, unit, states);
   }
  }
  for (row of py.each(SAID["halves"])) {
   [fault, well, bad] = py.split(row, ": ");
   if (((py.get(states, well, "") === "well") && (py.get(states, bad, "") === "bad"))) {
    return _used(tokens, parts, k, fault);
   }
  }
  warm = [py.get(states, "fridge", py.get(states, "whole", "")), py.get(states, "freezer", "")];
  return ((py.truth(cold) && (py.eq(warm, ["bad", "bad"]))) ? _used(tokens, parts, k, "not cooling") : "");
 }
 function _used(tokens, parts, k, fault) {
   let one, part;
  for (part of py.each(parts).filter((one) => (py.eq(one["unit"], k))).map((one) => (one))) {
   for (one of tokens.slice(part["start"], part["end"])) {
    one["used"] = (py.truth(py.get(one, "half", false)) ? "fault" : one["used"]);
   }
  }
  return fault;
 }
 function _turns_in(tokens, forms, part, states) {
   let i, said;
  said = [];
  for (i of py.range(part["start"], part["end"])) {
   said = ((forms[i] !== "") ? [...said, forms[i]] : said);
   if (((tokens[i]["w"] === "agitator") && (py.has("not", forms.slice(i, part["end"]))))) {
    py.first(states, "agitat", "bad");
   }
   if (((!py.has(forms[i], ["agitat", "spin"])) || (tokens[i]["w"] === "agitator"))) {
    continue;
   }
   if (((py.has("not", said.slice(-5))) || (py.has("no", said.slice(-5))))) {
    py.first(states, forms[i], "bad");
   } else {
    if ((py.has(tokens[i]["w"], ["agitates", "spins", "agitating", "spinning"]))) {
     py.first(states, forms[i], "well");
    }
   }
  }
 }
 function _states_in(tokens, forms, part, unit, states) {
   let ahead, cold, denied, end, half, i, named, state, word;
  half = "whole";
  denied = false;
  end = part["end"];
  cold = (unit["families"][0] === "fridge");
  for (i of py.range(part["start"], end)) {
   word = tokens[i]["w"];
   named = _half_at(tokens, i, unit);
   if ((named !== "")) {
    half = named;
    denied = (py.truth(denied) && ((py.has(word, SAID["is well"])) || (py.has(tokens[(i - 1)]["w"], SAID["keeps"]))));
   }
   if (py.truth(_denies(forms[i], word))) {
    denied = true;
    if (py.truth(_only_denied(forms, i, end, half, word))) {
     states[half] = "bad";
    }
   }
   state = _state_at(tokens, i, half, cold);
   if (((state === "") || ((py.has(named, ["bake", "broil"])) && !py.truth(denied) && (py.add(i, 1) < end)))) {
    continue;
   }
   ahead = _half_ahead(tokens, i, end, unit);
   _note(states, ((ahead === "") ? half : ahead), state, denied);
   if ((py.truth(cold) && (tokens[i]["used"] === ""))) {
    tokens[i]["half"] = true;
   }
   denied = false;
  }
 }
 function _note(states, half, state, denied) {
   let turned;
  turned = ((state === "well") ? "bad" : "well");
  py.first(states, half, (py.truth(denied) ? turned : state));
 }
 function _denies(form, word) {
  return ((py.has(form, ["not", "no"])) || py.truth(form.startsWith("not ")) || (py.has(word, SAID["hardly"])));
 }
 function _only_denied(forms, i, end, half, word) {
   let alone, form, last;
  last = (py.len(forms.slice(py.add(i, 1), end).filter((form) => (form !== "")).map((form) => (form))) === 0);
  alone = (py.truth(last) && (half !== "whole") && (!py.has(word, SAID["hardly"])));
  return (py.truth(alone) ? alone : forms[i].startsWith("not work"));
 }
 function _state_at(tokens, i, half, cold) {
   let told, word;
  word = tokens[i]["w"];
  if ((py.has(word, SAID["is well"]))) {
   return "well";
  }
  if ((py.has(word, SAID["is bad"]))) {
   return ((py.truth(cold) || (word === "dead")) ? "bad" : "");
  }
  if ((!py.truth(cold) || (!py.has(half, WARMEST)) || (!py.has(tokens[i]["used"], ["no", "open"])))) {
   return "";
  }
  told = ((i > 0) && (py.has(tokens[(i - 1)]["w"], [...SAID["reads at"], half])));
  if ((!py.truth(told) || (py.nil(tokens[i]["n"])))) {
   return "";
  }
  return ((tokens[i]["n"] > WARMEST[half]) ? "bad" : "well");
 }
 function _half_at(tokens, i, unit) {
   let alone, freezer, half, listed, one;
  one = tokens[i];
  if ((one["used"] === "type")) {
   alone = ((i === 0) ? (i === 0) : (tokens[(i - 1)]["used"] !== "type"));
   freezer = ((one["w"] === "freezer") && py.truth(alone) && (unit["type"] === "fridge"));
   return (py.truth(freezer) ? "freezer" : "whole");
  }
  if ((py.has(one["w"], SAID["else of it"]))) {
   return "else";
  }
  if ((py.has(one["w"], ["top", "bottom"]))) {
   listed = ((one["w"] === "top") ? TOP : BOTTOM);
   return py.get(listed, unit["type"], "");
  }
  for (half of ["freezer", "fridge", "bake", "broil"]) {
   if ((py.has(one["w"], SAID[py.add("half ", half)]))) {
    return half;
   }
  }
  return "";
 }
 function _half_ahead(tokens, i, end, unit) {
   let after, beside, goes_on, j, named;
  if (((i > 0) && (tokens[i]["stop"] === 0) && (py.has(_half_at(tokens, (i - 1), unit), ["freezer", "fridge"])))) {
   return "";
  }
  j = py.add(i, 1);
  while (((j < end) && (py.has(tokens[j]["w"], ["in", "the", "inside", "up", "on", "down"])))) {
   j = py.more(j, 1);
  }
  beside = ((j < end) && ((py.eq(j, py.add(i, 1))) || (py.has(tokens[(j - 1)]["w"], ["in", "the", "inside", "up", "on"]))));
  named = (py.truth(beside) ? _half_at(tokens, j, unit) : "");
  after = ((py.add(j, 1) < end) ? tokens[py.add(j, 1)]["w"] : "");
  goes_on = ((py.eq(j, py.add(i, 1))) && (py.has(after, [...SAID["is well"], ...SAID["is bad"], "is", "not"])));
  return ((py.truth(goes_on) || (py.has(named, ["whole", "else"]))) ? "" : named);
 }
 return { TOP, BOTTOM, WARMEST, told_by_halves };
})();
const bench_note_words = (() => {
 const { begins_with, has_phrase } = amounts_words;
 const { DIGITS } = digits_words;
 const { known } = sayings_words;
 const { SAID, Table, Tokens } = tokens_words;
 const { denied, findings_said, mark, read_part } = troubles_words;
 function take_findings(line, part, looked, unit, named) {
   let away, both, doing, end, firm, forms, h, hit, i, joined, joins, kept, lost, one, said, seen, soft, spans, start, sure, tables, tokens, w, words;
  [tokens, forms, tables] = [line["tokens"], line["forms"], line["tables"]];
  [start, end] = [part["start"], part["end"]];
  words = tokens.slice(start, end).map((one) => (one["w"]));
  doing = (py.len(py.split(words.join(" ").replaceAll("like new", ""), " ").filter((w) => (py.has(w, SAID["doing"]))).map((w) => (w))) > 0);
  said = findings_said(forms, start, end, looked, tables);
  away = py.each(said).filter((hit) => py.truth(_denied_finding(forms, hit, part))).map((hit) => (hit));
  said = py.each(said).filter((hit) => (!py.has(hit, away))).map((hit) => (hit));
  soft = py.each(said).filter((hit) => py.truth(py.get(tokens[hit[0]], "soft", false))).map((hit) => (hit));
  soft = py.each(soft).filter((hit) => ((py.has("prong", words)) || !py.truth(_new_before(tokens, hit[0])))).map((hit) => (hit));
  if (((line["moment"] === "ask") || (py.has("prong", words)))) {
   said = py.each(said).filter((hit) => (!py.has(hit, soft))).map((hit) => (hit));
  }
  if ((line["moment"] === "ask")) {
   said = py.each(said).filter((hit) => (py.truth(doing) || (py.has(hit[2], SAID["actions"].slice(1))))).map((hit) => (hit));
   for (one of py.each(((py.truth(doing) && (py.len(said) === 0)) ? tokens.slice(start, end) : []))) {
    one["unsaid"] = true;
   }
  } else {
   if (((py.len(py.each(words).filter((w) => (py.has(w, SAID["telling"]))).map((w) => (w))) > 0) && (py.len(named) === 0))) {
    return false;
   }
   said = py.each(said).filter((hit) => !py.truth(_only_looked(forms, hit, part))).map((hit) => (hit));
   [firm, spans] = _apart(line, part, looked, [...said, ...away]);
   if (((py.len(said) === 0) && (py.len(firm) === 0) && (py.len(away) > 0))) {
    mark(tokens, [[start, end]]);
    return true;
   }
   if (((py.len(named) === 0) && (py.len(firm) > 0))) {
    both = (py.len(py.each(firm).filter((one) => (!py.has(one[1], SAID["seen part"]))).map((one) => (one))) === 0);
    said = py.each(said).filter((h) => (py.truth(both) || !py.truth(_overlaps(h, spans)))).map((h) => (h));
    said = py.each(said).filter((h) => py.truth(_told_of(forms, h, part))).map((h) => (h));
    if ((py.len(said) === 0)) {
     return false;
    }
    named = py.more(named, firm);
    mark(tokens, spans);
   }
  }
  kept = 0;
  lost = [];
  seen = start;
  for (hit of py.each(said)) {
   helped_not(line, seen, hit[0], unit);
   seen = hit[1];
   if (((unit["found"] === "") && py.truth(_cleared_by_later(line, hit, part, doing)))) {
    mark(tokens, [[hit[0], hit[1]]]);
    continue;
   }
   joins = tokens.slice(start, hit[0]).filter((w) => (py.has(w["w"], ["+", "and", "&", "plus"]))).map((w) => (w));
   joined = ((py.len(joins) > 0) && py.truth(_state_beside(forms, hit, part)));
   sure = (py.truth(doing) || py.truth(joined) || (py.has(hit[2], SAID["cleared"])));
   if (py.truth(_keep_finding(hit[2], unit, sure, line["moment"]))) {
    mark(tokens, [[hit[0], hit[1]]]);
    kept = py.more(kept, 1);
   } else {
    lost = py.more(lost, [...py.range(hit[0], hit[1]), ..._states_of(forms, hit, part)]);
   }
  }
  helped_not(line, seen, end, unit);
  if ((kept > 0)) {
   _mark_known(py.range(start, end).filter((i) => (!py.has(i, lost))).map((i) => (tokens[i])), tables);
  }
  return (py.len(said) > 0);
 }
 function _new_before(tokens, i) {
  return ((i > 0) && (tokens[i]["stop"] === 0) && (py.has(tokens[(i - 1)]["w"], SAID["doing"])));
 }
 function blamed_at(line, parts, units) {
   let _, forms, hit, k, last, part;
  [forms, last] = [line["forms"], py.each(units).map((_) => (-1))];
  for (part of py.each(parts)) {
   k = part["unit"];
   if (((units[k]["type"] === "") || (py.has("already", forms.slice(part["start"], part["end"]))))) {
    continue;
   }
   for (hit of findings_said(forms, part["start"], part["end"], units[k], line["tables"])) {
    if ((py.truth(_blamed(forms, hit, part)) && !py.truth(_only_looked(forms, hit, part)))) {
     last[k] = hit[0];
    }
   }
  }
  return last;
 }
 function _blamed(forms, hit, part) {
   let before, form, said;
  before = forms.slice(part["start"], hit[0]).filter((form) => (form !== "")).map((form) => (form));
  said = before.slice(-3).filter((form) => (py.has(form, SAID["blames"]))).map((form) => (form));
  return ((py.len(said) > 0) || (py.has(hit[2], SAID["actions"])) || py.truth(_state_beside(forms, hit, part)));
 }
 function _cleared_by_later(line, hit, part, doing) {
  if (((line["moment"] !== "bench") || py.truth(doing) || py.truth(_blamed(line["forms"], hit, part)))) {
   return false;
  }
  return py.truth((line["blamed"][part["unit"]] > hit[0]));
 }
 function _mark_known(tokens, tables) {
   let one;
  for (one of py.each(tokens)) {
   if (((one["used"] === "") && (py.nil(one["n"])) && py.truth(known(one["w"], tables)))) {
    one["used"] = "finding";
   }
  }
 }
 function _only_looked(forms, hit, part) {
   let after, before, beside, form, last;
  after = forms.slice(hit[1], part["end"]).filter((form) => (form !== "")).map((form) => (form));
  if (py.truth(_is_fine(after))) {
   return true;
  }
  if ((py.truth(begins_with(after, SAID["turns still"])) && !py.truth(_state_beside(forms, hit, part)))) {
   return true;
  }
  if (((py.has(forms[hit[0]], SAID["looked"])) || (py.has(hit[2], SAID["actions"])))) {
   return false;
  }
  if ((py.eq(after.slice(0, 1), ["full"]))) {
   return true;
  }
  before = ["", ...forms.slice(part["start"], hit[0]).filter((form) => (form !== "")).map((form) => (form))];
  if (py.truth(has_phrase(before.slice(-2), ["out of", "degr at"]))) {
   return true;
  }
  last = before[before.length - 1];
  beside = ((py.has(last, SAID["looked"])) ? (py.has(last, SAID["looked"])) : (py.has(last, SAID["located"])));
  return (py.truth(beside) && !py.truth(_state_beside(forms, hit, part)));
 }
 function _is_fine(after) {
   let told;
  told = _measured(after);
  if (((0 < py.len(told) && py.len(told) < py.len(after)) && (py.has(told[0], SAID["states"])))) {
   return false;
  }
  return (py.truth(begins_with(after, SAID["fine"])) ? begins_with(after, SAID["fine"]) : begins_with(told, SAID["fine"]));
 }
 function _measured(after) {
  while (((py.len(after) > 0) && ((py.has(after[0], SAID["before fine"])) || (py.has(after[0][0], DIGITS))))) {
   after = after.slice(1);
  }
  return after;
 }
 function _apart(line, part, unit, said) {
   let end, fault, firm, forms, h, hit, i, one, over, rest, span, spans, start, tables, tokens, used;
  [tokens, forms, tables] = [line["tokens"], line["forms"], line["tables"]];
  [start, end] = [part["start"], part["end"]];
  fault = read_part(tokens, forms, start, end, unit, tables);
  firm = _firm(fault);
  over = py.each(said).filter((hit) => py.truth(_tells_fault(line, hit, part, fault))).map((hit) => (hit));
  if (((py.len(over) === 0) || (py.len(firm) === 0) || (py.len(py.each(firm).filter((one) => (py.has(one[1], SAID["seen"]))).map((one) => (one))) > 0))) {
   return [firm, fault["spans"]];
  }
  used = tokens.slice(start, end).map((one) => (one["used"]));
  rest = read_part(tokens, _blanked(line, over, part), start, end, unit, tables);
  for (i of py.range(start, end)) {
   tokens[i]["used"] = used[(i - start)];
  }
  spans = py.each(rest["spans"]).filter((span) => (py.len(py.each(over).filter((h) => py.truth(_overlaps(h, [span]))).map((h) => (h))) === 0)).map((span) => (span));
  return [_firm(rest), spans];
 }
 function _tells_fault(line, hit, part, fault) {
   let i, its, out, s;
  if ((py.truth(_overlaps(hit, fault["spans"])) && py.truth(_told_of(line["forms"], hit, part)))) {
   return true;
  }
  its = [...py.range(hit[0], hit[1]), ..._states_of(line["forms"], hit, part)];
  out = py.each(fault["words"]).filter((s) => (py.len(py.range(s[0], s[1]).filter((i) => (!py.has(i, its))).map((i) => (i))) > 0)).map((s) => (s));
  return ((line["moment"] === "bench") && (py.len(fault["words"]) > py.len(out) && py.len(out) === 0));
 }
 function _blanked(line, hits, part) {
   let bare, hit, i;
  bare = py.list(line["forms"]);
  for (hit of py.each(hits)) {
   for (i of [...py.range(hit[0], hit[1]), ..._states_of(line["forms"], hit, part)]) {
    line["tokens"][i]["used"] = "place";
    bare[i] = "";
   }
  }
  return bare;
 }
 function _told_of(forms, hit, part) {
   let alone;
  if (((hit[3] > 1) && (py.has(hit[2], SAID["told by finding"])))) {
   return true;
  }
  alone = ([...forms.slice(part["start"], hit[0]), ...forms.slice(hit[1], part["end"])].join("") === "");
  return (py.truth(alone) || py.truth(_state_beside(forms, hit, part)) || py.truth(_denied_finding(forms, hit, part)));
 }
 function _firm(fault) {
   let names, one;
  names = (!py.truth(fault["weak"]) ? fault["names"] : []);
  return py.each(names).filter((one) => (one[1] !== "taken apart by the owner")).map((one) => (one));
 }
 function _states_of(forms, hit, part) {
   let found, i, seen, step, verb;
  found = [];
  for (step of [1, -1]) {
   i = ((step > 0) ? hit[1] : (hit[0] - 1));
   seen = 0;
   while (((part["start"] <= i && i < part["end"]) && (seen < 2))) {
    if ((forms[i] !== "")) {
     seen = py.more(seen, 1);
     verb = ((step < 0) && (forms[i] === "open") && (forms[py.add(i, 1)] === ""));
     if (((py.has(forms[i], SAID["states"])) && !py.truth(verb))) {
      found.push(i);
     }
    }
    i = py.more(i, step);
   }
  }
  return found;
 }
 function _state_beside(forms, hit, part) {
   let form, inside, words;
  inside = forms.slice(hit[0], hit[1]).filter((form) => (py.has(form, SAID["states"]))).map((form) => (form));
  words = forms.slice(part["start"], part["end"]).filter((form) => (form !== "")).map((form) => (form));
  if (((py.len(py.each(words).filter((form) => (py.has(form, SAID["done"]))).map((form) => (form))) > 0) || (words[(py.len(words) - 1)] === "next"))) {
   return true;
  }
  return ((py.len(inside) > 0) ? (py.len(inside) > 0) : (py.len(_states_of(forms, hit, part)) > 0));
 }
 function _overlaps(hit, spans) {
   let span;
  return (py.len(py.each(spans).filter((span) => ((hit[0] < span[1]) && (span[0] < hit[1]))).map((span) => (span))) > 0);
 }
 function _denied_finding(forms, hit, part) {
  if (((hit[3] > 2) || (py.has(forms[hit[0]], ["not", "no"])))) {
   return false;
  }
  return denied(forms, hit[0], part["start"]);
 }
 function _keep_finding(name, unit, doing, moment) {
   let known_already;
  known_already = ((py.eq(name, unit["found"])) ? (py.eq(name, unit["found"])) : (py.has(name, unit["repair"])));
  if (((name === "foreign object removed") && (unit["found"] === "pump filter cleared"))) {
   return true;
  }
  if (((moment === "bench") && !py.truth(known_already))) {
   if (py.truth(py.get(unit, "no cure", false))) {
    unit["repair"].push(unit["found"]);
    unit["found"] = name;
    unit["no cure"] = false;
    return true;
   }
   if ((unit["found"] === "")) {
    unit["found"] = name;
    return true;
   }
  }
  doing = (py.truth(doing) || (moment === "ask") || ((name === "cleaned") && py.truth(unit["found"].endsWith("sensor"))));
  if ((py.truth(doing) && !py.truth(known_already))) {
   unit["repair"].push(name);
  }
  return (py.truth(doing) ? doing : known_already);
 }
 function helped_not(line, start, end, unit) {
   let one, words;
  words = line["tokens"].slice(start, end).map((one) => (one["w"]));
  if (((line["moment"] === "bench") && (unit["found"] !== "") && py.truth(has_phrase(words, SAID["no cure"])))) {
   unit["no cure"] = true;
  }
 }
 function not_cured(line, part, unit, named) {
   let one, still, words;
  words = line["tokens"].slice(part["start"], part["end"]).map((one) => (one["w"]));
  if (((line["moment"] !== "bench") || (unit["found"] === ""))) {
   return null;
  }
  still = ((py.has("still", words)) && (py.len(named) > 0));
  if ((py.truth(still) || (py.has(words[0], SAID["again"])))) {
   unit["no cure"] = true;
  }
  helped_not(line, part["start"], part["end"], unit);
 }
 return { take_findings, blamed_at, helped_not, not_cured };
})();
const diagnosis_words = (() => {
 const { has_phrase } = amounts_words;
 const { Line, Part, blamed_at, not_cured, take_findings } = bench_note_words;
 const { told_by_halves } = halves_words;
 const { listed_at } = kinds_words;
 const { taken_back } = second_thoughts_words;
 const { SAID, Table, Tables, Tokens } = tokens_words;
 const { UNTOLD, WORKS, findings_said, mark, read_part, ready_signs, sign_fits, sign_of, text_of, tidy_faults, whole_part, without_one } = troubles_words;
 function read_troubles(tokens, forms, parts, units, moment, tables, own) {
   let _, k, line, named, names, part, told, unit, weak;
  line = { ["tokens"]: tokens, ["forms"]: forms, ["moment"]: moment, ["tables"]: tables, ["own"]: own };
  if ((moment !== "offer")) {
   _without_taken_back(line, units[0]);
  }
  line["blamed"] = blamed_at(line, parts, units);
  named = py.each(units).map((_) => ([]));
  told = { ["named"]: named, ["last"]: py.each(units).map((_) => ([])) };
  for (part of py.each(parts)) {
   if ((units[part["unit"]]["type"] !== "")) {
    _read_one(line, part, units, told);
   }
  }
  for (k of py.range(py.len(units))) {
   unit = units[k];
   names = _with_halves(line, parts, k, unit, named[k]);
   unit["faults"] = tidy_faults(names, (unit["count"] > 1), unit["sides"], tables["wider"]);
   weak = (((py.len(unit["faults"]) === 1) && (moment === "offer")) ? unit["faults"][0] : "");
   if (((py.has(weak, [WORKS, UNTOLD])) && py.truth(_told_else(line, parts, k, weak)))) {
    unit["faults"] = [];
   }
   if ((py.truth(unit["goods"]) || ((unit["type"] !== "") && (py.len(unit["families"]) === 0)))) {
    if ((unit["type"] !== "laundry pedestal")) {
     unit["faults"] = goods_fault(line, parts, k, unit["faults"]);
    }
   }
  }
 }
 function _without_taken_back(line, unit) {
   let forms, hits, i, k, tokens;
  [tokens, forms] = [line["tokens"], line["forms"]];
  hits = findings_said(forms, 0, py.len(tokens), unit, line["tables"]);
  for (k of py.range((py.len(hits) - 1))) {
   if (py.truth(taken_back(tokens, hits[k][1], hits[py.add(k, 1)][0]))) {
    for (i of py.range(hits[k][0], hits[py.add(k, 1)][0])) {
     forms[i] = "";
     tokens[i]["used"] = ((tokens[i]["used"] === "") ? "idle" : tokens[i]["used"]);
    }
   }
  }
 }
 function _told_else(line, parts, k, weak) {
   let bare, found, mine, one, part, words;
  mine = py.each(parts).filter((part) => (py.eq(part["unit"], k))).map((part) => (line["tokens"].slice(part["start"], part["end"])));
  bare = py.each(mine).filter((words) => (!py.has("fault", py.each(words).map((one) => (one["used"]))))).map((words) => (words));
  found = py.each(bare).filter((words) => py.truth(_unread(words, line, weak))).map((words) => (words));
  for (words of py.each(((py.len(found) > 0) ? mine : []))) {
   for (one of py.each(words)) {
    if (((one["used"] === "") || ((py.eq(weak, UNTOLD)) && (one["used"] === "fault")))) {
     one["unsaid"] = ((py.has(words, found)) ? (py.has(words, found)) : (one["used"] === "fault"));
     one["used"] = "";
    }
   }
  }
  return (py.len(found) > 0);
 }
 function _unread(words, line, weak) {
   let just, left, one, pair, said, word;
  left = py.each(words).filter((one) => ((one["used"] === "") && (py.nil(one["n"])))).map((one) => (one["w"]));
  said = py.each(left).filter((word) => (py.has(word, line["tables"]["telling"]))).map((word) => (word));
  if ((py.eq(weak, WORKS))) {
   said = py.more(said, py.each(left).filter((word) => (!py.has(word, line["tables"]["idle_words"]))).map((word) => (word)));
  }
  pair = words.slice(0, 2).map((one) => (one["w"]));
  just = ((py.eq(pair, ["it", "just"])) ? (py.eq(pair, ["it", "just"])) : (py.has(pair[0], [...SAID["split"], "just"])));
  just = (py.truth(just) ? just : (py.has("otherwise", py.each(line["tokens"]).map((one) => (one["w"])))));
  return ((py.len(said) > 0) && (py.truth(just) || (py.eq(weak, UNTOLD))));
 }
 function _with_halves(line, parts, k, unit, named) {
   let baking, better, both, clicks, inside, kept, line_said, name, one, tokens, tops, well;
  tokens = line["tokens"];
  if ((line["moment"] === "ask")) {
   named = without(named, "worked when stored");
  }
  name = told_by_halves(tokens, line["forms"], parts, k, unit);
  better = ((name === "not cooling") ? line["tables"]["wider"]["not cooling"] : []);
  both = py.each(named).filter((one) => ((py.has(one[1], better)) && py.truth(one[1].startsWith("both")))).map((one) => (one));
  if (((name !== "") && (py.len(both) === 0) && (!py.has(["fridge", "runs all the time"], named)))) {
   kept = py.each(named).filter((one) => ((!py.has(one[1], SAID["of one half"])) && (!py.eq(one[1], WORKS)))).map((one) => (one));
   return [[unit["families"][0], name], ...kept];
  }
  kept = py.each(named).map((one) => (one[1]));
  if (((name === "not cooling") && (py.has("runs all the time", kept)))) {
   return [["fridge", "both warm and compressor runs"]];
  }
  if ((py.has("leaks water on the floor", kept))) {
   inside = py.each(tokens).filter((one) => (py.has(one["w"], SAID["inside words"]))).map((one) => (one));
   if (((py.len(inside) > 0) && (unit["families"][0] === "fridge"))) {
    return [["fridge", "leaks water inside"], ...without(named, "leaks water on the floor")];
   }
  }
  line_said = py.add(py.each(tokens).map((one) => (one["w"])).join(" "), " ");
  for (well of py.each(((py.has("oven won't heat (gas)", kept)) ? SAID["well"] : []))) {
   if (((line_said.indexOf(py.add(py.add("oven ", well), " ")) >= 0) || (line_said.indexOf(py.add(py.add("oven is ", well), " ")) >= 0))) {
    clicks = ["range", "burner clicks or won't light (gas)"];
    return [clicks, ...without(named, "oven won't heat (gas)")];
   }
  }
  baking = py.each(tokens).filter((one) => (py.has(one["w"], ["oven", "bake", "broil", "broiler"]))).map((one) => (one));
  if (((py.has(["range", "burner clicks or won't light (gas)"], named)) && (py.has("oven won't heat (gas)", kept)))) {
   tops = py.each(tokens).filter((one) => (py.has(one["w"], ["burner", "burners", "top", "stovetop"]))).map((one) => (one));
   if ((py.len(baking) === 0)) {
    return without(named, "oven won't heat (gas)");
   }
   if ((py.len(tops) === 0)) {
    return without(named, "burner clicks or won't light (gas)");
   }
  }
  return named;
 }
 function without(named, fault) {
   let one;
  return py.each(named).filter((one) => (!py.eq(one[1], fault))).map((one) => (one));
 }
 function _read_one(line, part, units, told) {
   let at, forms, got, joined, k, last, looked, n, name, named, one, some, start, tables, tokens, unit, words;
  [tokens, forms, tables] = [line["tokens"], line["forms"], line["tables"]];
  at = part["unit"];
  [unit, named, last] = [units[at], told["named"][at], told["last"]];
  for (k of py.range(py.len(units))) {
   last[k] = ((py.eq(k, at)) ? last[k] : []);
  }
  looked = _looking(unit, part["part"]);
  if (py.truth(own_troubles(line, part, unit, named))) {
   last[at] = [];
   return null;
  }
  not_cured(line, part, unit, []);
  if (((line["moment"] !== "offer") && !py.truth(_goes_on(line, part, last[at], unit)))) {
   if (py.truth(take_findings(line, part, looked, unit, named))) {
    part["found"] = true;
    last[at] = [];
    return null;
   }
  }
  got = read_cut(tokens, forms, part, looked, tables);
  not_cured(line, part, unit, (!py.truth(got["weak"]) ? got["names"] : []));
  if ((line["moment"] === "bench")) {
   got["names"] = _at_bench(got["names"], named, unit);
  }
  words = tokens.slice(part["start"], part["end"]).map((one) => (one["w"]));
  some = ((py.add(py.len(units), unit["count"]) > 2) && py.truth(has_phrase(words, SAID["some of"])));
  if ((py.truth(some) || py.truth(unit["torn"]))) {
   for (one of tokens.slice(part["start"], part["end"])) {
    one["unsaid"] = true;
   }
   return null;
  }
  if (((py.len(units) > 1) && (py.len(got["names"]) === 0) && py.truth(_only_well(line, part)))) {
   got = whole_part(["any", WORKS], part["start"], part["end"], true);
  }
  mark(tokens, got["words"]);
  part["fault"] = (py.len(py.each(got["names"]).filter((n) => (!py.has(n[1], HARMLESS))).map((n) => (n))) > 0);
  start = part["start"];
  joined = ((unit["found"] === "") ? _joined_with_last(line, part, last[at], looked) : []);
  if (((py.len(joined) > 0) && (!py.has(joined[0], got["names"])))) {
   start = last[at][0];
   for (name of py.each(last[at][1]).filter((one) => (py.has(one, named))).map((one) => (one))) {
    py.remove(named, name);
   }
   got["names"] = joined;
   mark(tokens, [[start, part["end"]]]);
  }
  named = py.more(named, got["names"]);
  last[at] = [start, got["names"], looked["families"]];
  if ((py.len(units) > 1)) {
   _of_the_others(line, part, units, told["named"]);
  }
 }
 function _only_well(line, part) {
   let at, i, one, rest;
  at = py.range(part["start"], part["end"]).filter((i) => (!py.has(line["forms"][i], ["", "is", "one"]))).map((i) => (i));
  rest = py.each(at).map((i) => (line["tokens"][i])).filter((one) => (py.get(one, "part", "") === "")).map((one) => (one));
  return ((line["moment"] === "offer") && (py.len(rest) === 1) && (py.has(rest[0]["w"], SAID["well"])));
 }
 function _at_bench(names, named, unit) {
   let n;
  names = py.each(names).filter((n) => (!py.has(n[1], ["taken apart by the owner", WORKS, UNTOLD]))).map((n) => (n));
  if ((py.len(named) === 0)) {
   return names;
  }
  if ((py.len(without(named, UNTOLD)) === 0)) {
   return names;
  }
  if (((unit["found"] !== "") && (py.len(py.each(named).filter((n) => (n[0] !== "danger")).map((n) => (n))) > 0))) {
   return py.each(names).filter((n) => (py.has(n[1], SAID["told late"]))).map((n) => (n));
  }
  names = py.each(names).filter((n) => (n[0] !== "danger")).map((n) => (n));
  return py.each(names).filter((n) => (!py.has(n[1], SAID["at bench no fault"]))).map((n) => (n));
 }
 function _of_the_others(line, part, units, named) {
   let got, j, one, rest, w, words;
  words = line["tokens"].slice(part["start"], part["end"]).map((one) => (one["w"]));
  rest = ((py.has("others", words.slice(0, 2))) ? (py.has("others", words.slice(0, 2))) : (py.has("rest", words.slice(0, 2))));
  if ((py.truth(rest) || (py.has("all", [words[0], words[words.length - 1]])) || (py.len(py.each(words).filter((w) => (py.has(w, SAID["each"]))).map((w) => (w))) > 0))) {
   for (j of py.range(py.len(units))) {
    if (((!py.eq(j, part["unit"])) && !(py.truth(rest) && (py.len(named[j]) > 0)))) {
     got = read_cut(line["tokens"], line["forms"], part, units[j], line["tables"]);
     named[j] = py.more(named[j], got["names"]);
    }
   }
  }
 }
 function _goes_on(line, part, before, unit) {
   let alone, forms, found, hit, joined, long, looked, name, names, tables, wider;
  [forms, tables] = [line["forms"], line["tables"]];
  looked = _looking(unit, part["part"]);
  found = findings_said(forms, part["start"], part["end"], looked, tables);
  long = (py.len(py.each(found).filter((hit) => (hit[3] > 1)).map((hit) => (hit))) > 0);
  if (((line["moment"] !== "bench") || (unit["found"] !== "") || py.truth(long))) {
   return false;
  }
  joined = _joined_with_last(line, part, before, looked);
  if ((py.len(joined) === 0)) {
   return false;
  }
  alone = read_part(line["tokens"], forms, part["start"], part["end"], looked, tables)["names"];
  wider = py.each(before[1]).map((name) => (py.get(tables["wider"], name[1], [])));
  for (name of py.each(joined)) {
   if (((!py.has(name, alone)) || (py.len(py.each(wider).filter((names) => (py.has(name[1], names))).map((names) => (names))) > 0))) {
    return true;
   }
  }
  return false;
 }
 const HARMLESS = [WORKS, "dents or scratches only", "nothing said", "worked when stored"];
 function goods_fault(line, parts, k, faults) {
   let e, f, form, forms, hits, i, one, part, tables, text, tokens, words;
  [tokens, forms, tables] = [line["tokens"], line["forms"], line["tables"]];
  if (((py.len(faults) > 0) && (py.eq(faults[0], WORKS)))) {
   return faults;
  }
  for (part of py.each(parts)) {
   if ((!py.eq(part["unit"], k))) {
    continue;
   }
   words = [];
   for (one of tokens.slice(part["start"], part["end"])) {
    if (((py.has(one["used"], ["", "fault"])) && (py.nil(one["n"])))) {
     words.push(((one["w"] === "wont") ? "won't" : one["w"]));
    } else {
     if ((!py.has(one["used"], ["type"]))) {
      words = [];
      break;
     }
    }
   }
   text = words.join(" ");
   form = forms.slice(part["start"], part["end"]).filter((f) => (f !== "")).map((f) => (f)).join(" ");
   hits = py.get(tables["sayings"], form, []).filter((e) => (tables["names"][e[0]][0] === "fault")).map((e) => (e));
   if (((text !== "") && ((py.len(hits) > 0) || (py.has(forms[part["start"]], ["not", "no"]))))) {
    if (((py.len(faults) > 0) && (py.eq(faults[0], UNTOLD)) && (py.len(hits) > 0))) {
     return faults;
    }
    for (i of py.range(part["start"], part["end"])) {
     tokens[i]["used"] = ((tokens[i]["used"] !== "") ? tokens[i]["used"] : "fault");
    }
    if ((text === "leaking")) {
     return ["leaks"];
    }
    return [text];
   }
  }
  return faults;
 }
 function _looking(unit, part) {
   let looked;
  if (((py.has(part, ["", "both", "same"])) || (!py.has(part, unit["families"])))) {
   return unit;
  }
  looked = ({ ...unit });
  looked["families"] = [part];
  return looked;
 }
 function _bare_noun(tokens, start, end) {
   let before, one, rest, said, w, word, works;
  if (((end - start) < 2)) {
   return false;
  }
  before = tokens.slice(py.max((start - 6), 0), start).map((one) => (one["w"]));
  if ((py.has(tokens[py.add(start, 1)]["w"], ["no", "not", "dont", "don't"]))) {
   return false;
  }
  works = py.each(before).filter((w) => (py.has(w, ["works", "work", "working", "fine", "perfect", "good"]))).map((w) => (w));
  rest = tokens.slice(py.add(start, 1), end).map((one) => (one["w"]));
  said = py.each(rest).filter((word) => ((py.has(word, SAID["verbs"])) || py.truth(word.endsWith("nt")))).map((word) => (word));
  return ((py.len(works) > 0) && (py.len(said) === 0) && ((end - start) < 6));
 }
 function read_cut(tokens, forms, part, unit, tables) {
   let excepted, head, i, more, name, names, one, over, s, sign, text, together, two, whole;
  whole = read_part(tokens, forms, part["start"], part["end"], unit, tables);
  head = tokens.slice(part["start"], py.add(part["start"], 2)).map((one) => (one["w"]));
  excepted = (py.has(head[0], ["except", "cept", "minus"]));
  excepted = (py.truth(excepted) ? excepted : ((head[0] === "but") && (py.has(head[head.length - 1], SAID["but the"]))));
  excepted = (py.truth(excepted) && py.truth(_bare_noun(tokens, part["start"], part["end"])));
  if ((py.truth(excepted) && (py.len(whole["names"]) === 0))) {
   text = text_of(tokens, forms, part["start"], part["end"], SAID["not signs"]);
   sign = sign_of(py.add(text, "not work out dead "), unit["families"], [], unit, tables);
   if ((py.len(sign) > 0)) {
    return whole_part([sign[0], sign[1]], part["start"], part["end"], false);
   }
  }
  together = ((py.len(whole["names"]) > 0) ? whole["names"][0] : ["", ""]);
  for (i of py.range(py.add(part["start"], 1), (part["end"] - 1))) {
   if ((!py.has(tokens[i]["w"], ["and", "&", "plus", "also"]))) {
    continue;
   }
   over = py.each(whole["spans"]).filter((s) => ((s[0] < i && i < s[1]) && ((s[1] - s[0]) < 8))).map((s) => (s));
   if (((py.len(over) > 0) && (!py.has([part["start"], part["end"]], over)))) {
    continue;
   }
   one = read_part(tokens, forms, part["start"], i, unit, tables);
   two = read_part(tokens, forms, py.add(i, 1), part["end"], unit, tables);
   if (((py.len(one["names"]) === 0) || (py.len(two["names"]) === 0) || py.truth(one["weak"]) || py.truth(two["weak"]))) {
    continue;
   }
   if (((py.has(together[1], tables["together"])) && (!py.has(together, py.add(one["names"], two["names"]))))) {
    continue;
   }
   names = py.add(one["names"], py.each(two["names"]).filter((name) => (!py.has(name, one["names"]))).map((name) => (name)));
   more = { ["spans"]: py.add(one["spans"], two["spans"]), ["words"]: py.add(one["words"], two["words"]) };
   return { ["names"]: names, ...more, ["weak"]: false };
  }
  return whole;
 }
 function _joined_with_last(line, part, last, unit) {
   let alone, got, name, tables;
  tables = line["tables"];
  if (((py.len(last) === 0) || (!py.eq(last[2], unit["families"])))) {
   return [];
  }
  got = read_part(line["tokens"], line["forms"], last[0], part["end"], unit, tables);
  alone = py.each(last[1]).map((name) => (name[1]));
  for (name of py.each(got["names"])) {
   if (((py.has(name[1], tables["together"])) && (!py.has(name[1], alone)))) {
    return [name];
   }
  }
  return [];
 }
 function own_troubles(line, part, unit, named) {
   let hit, i, key, moment, name, one, own, size, tokens;
  [tokens, own, moment] = [line["tokens"], line["own"], line["moment"]];
  hit = false;
  for (i of py.range(part["start"], part["end"])) {
   size = listed_at(tokens, i, py.get(own, "faults", {  }), 7);
   if (((size > 0) && (tokens[i]["used"] === ""))) {
    key = tokens.slice(i, py.add(i, size)).map((one) => (one["w"])).join(" ");
    named.push(["own", own["faults"][key]]);
    mark(tokens, [[i, py.add(i, size)]]);
    hit = true;
    continue;
   }
   size = listed_at(tokens, i, py.get(own, "repairs", {  }), 5);
   if (((size > 0) && (moment !== "offer") && (tokens[i]["used"] === ""))) {
    key = tokens.slice(i, py.add(i, size)).map((one) => (one["w"])).join(" ");
    name = own["repairs"][key];
    if (((moment === "bench") && (unit["found"] === ""))) {
     unit["found"] = name;
    } else {
     if ((!py.has(name, unit["repair"]))) {
      unit["repair"].push(name);
     }
    }
    mark(tokens, [[i, py.add(i, size)]]);
   }
  }
  return hit;
 }
 function tags_of(tokens, forms, parts, units, tables) {
   let cold, f, name, part, refused, row, tag, tags, text, unit, whole;
  tags = [];
  for (unit of py.each(units)) {
   for (name of [...unit["faults"], unit["found"], ...unit["repair"]]) {
    for (tag of py.split(py.get(tables["fault_tags"], name, ""), "; ")) {
     if (((tag !== "") && (!py.has(tag, tags)))) {
      tags.push(tag);
     }
    }
   }
   if ((py.truth(unit["goods"]) && py.truth(unit["type"].startsWith("gas ")) && (!py.has("gas", tags)))) {
    tags.push("gas");
   }
   refused = [...tables["refused_goods"], "water heater", "garbage disposer"];
   if (((py.has(unit["type"], refused)) && (!py.has("refused", tags)))) {
    tags.push("refused");
   }
   if (((py.has("microwave", unit["families"])) && (!py.has("microwave", tags)) && py.truth(_open_it(unit)))) {
    tags.push("microwave");
   }
  }
  for (part of py.each(parts)) {
   text = text_of(tokens, forms, part["start"], part["end"], []);
   cold = py.each(units[part["unit"]]["families"]).filter((f) => (py.has(f, ["fridge", "air"]))).map((f) => (f));
   _tag(without_one(text, ["no", "without", "never"]), tags, tables, (py.len(cold) > 0));
  }
  whole = text_of(tokens, forms, 0, py.len(tokens), []);
  for (row of _tag_signs(tables)) {
   if ((py.has(row[0], ["tip-over", "child entrapment", "live 240 V", "hot water", "move", "gas"]))) {
    if (((!py.has(row[0], tags)) && py.truth(sign_fits(whole, row[1], row[2])) && (row[0] !== "gas"))) {
     tags.push(row[0]);
    }
   }
  }
  return tags;
 }
 function _open_it(unit) {
   let alone, broken, n;
  broken = py.each(unit["faults"]).filter((n) => (!py.has(n, [WORKS, UNTOLD, "light out"]))).map((n) => (n));
  broken = py.more(broken, ((unit["found"] !== "") ? [unit["found"]] : []));
  alone = ((py.len(broken) > 0) && (py.len(unit["families"]) === 1));
  return (py.truth(alone) ? alone : (py.len(py.each(broken).filter((n) => (py.has(n, SAID["microwave"]))).map((n) => (n))) > 0));
 }
 function _tag_signs(tables) {
  if ((!py.has("ready_tags", tables))) {
   tables["ready_tags"] = ready_signs(tables["tag_signs"]);
  }
  return py.list(tables["ready_tags"]);
 }
 function _tag(text, tags, tables, cold) {
   let row, said;
  for (row of _tag_signs(tables)) {
   said = ((py.truth(cold) && (row[0] === "refrigerant")) ? py.add(text, "fridge ") : text);
   if (((!py.has(row[0], tags)) && py.truth(sign_fits(said, row[1], row[2])))) {
    tags.push(row[0]);
   }
  }
 }
 return { read_troubles, without, HARMLESS, goods_fault, read_cut, own_troubles, tags_of };
})();
const gist_words = (() => {
 const { clause_words, has_phrase, words_after } = amounts_words;
 const { Field, unit_at } = breath_words;
 const { for_a_unit } = prices_words;
 const { SAID, Table, Tables, Token, Tokens } = tokens_words;
 function gathered(tokens, units, heard, fields, moment, tables) {
   let _, alone, answer, each, field, groups, k, one, whole;
  whole = {  };
  alone = ((py.len(units) === 1) && (units[0]["count"] > 1));
  if (py.truth(alone)) {
   heard = counted(units[0], heard[0], fields);
  }
  if ((py.len(heard) <= 1)) {
   one = heard[0];
   for (field of py.each(fields)) {
    put(whole, field, tokens);
   }
   unit_into(whole, one, tables);
   answer = { ["read"]: whole };
   if (py.truth(one["plain"])) {
    answer["kinds"] = py.list(tables["kinds"][one["type"]]);
   }
   return answer;
  }
  groups = py.each(heard).map((_) => ({  }));
  several(tokens, units, fields, whole, groups);
  each = [];
  for (k of py.range(py.len(heard))) {
   unit_into(groups[k], heard[k], tables);
   if (py.truth(heard[k]["plain"])) {
    groups[k]["kinds"] = py.list(tables["kinds"][heard[k]["type"]]);
   }
   for (_ of py.range((py.truth(alone) ? 1 : units[k]["count"]))) {
    each.push(({ ...groups[k] }));
   }
  }
  return { ["read"]: whole, ["units"]: py.len(each), ["each"]: each };
 }
 function unit_into(target, one, tables) {
   let burns, name;
  if (((one["type"] !== "") && !py.truth(one["plain"]))) {
   target["type"] = one["type"];
  }
  burns = py.each(one["families"]).filter((name) => (py.has(name, ["dryer", "range"]))).map((name) => (name));
  burns = py.more(burns, ((py.has(one["type"], ["", "water heater"])) ? ["heater"] : []));
  if (((py.len(burns) === 0) && (py.has("fuel", target)))) {
   delete target["fuel"];
  }
  if ((py.len(one["faults"]) === 1)) {
   target["fault"] = one["faults"][0];
  } else {
   if ((py.len(one["faults"]) > 1)) {
    target["faults"] = py.list(one["faults"]);
   }
  }
  if ((one["found"] !== "")) {
   target["found"] = one["found"];
  }
  if ((py.len(one["repair"]) > 0)) {
   target["repair"] = py.list(one["repair"]);
  }
 }
 function _once(target, name, value, tokens, at) {
   let one;
  if ((!py.has(name, target))) {
   target[name] = value;
  } else {
   if (((name === "finish") && py.truth(value.startsWith(target[name])))) {
    target[name] = value;
   } else {
    if (((name === "parts") && (!py.eq(target[name], value)) && py.truth(_both_parts(tokens, at)))) {
     for (one of py.each(tokens)) {
      one["used"] = (((one["used"] === "parts") && (!py.nil(one["n"]))) ? "" : one["used"]);
     }
     delete target[name];
    } else {
     if (((!py.eq(target[name], value)) && ((!py.nil(tokens[at]["n"])) || (name === "code")))) {
      tokens[at]["used"] = "";
     }
    }
   }
  }
 }
 function _both_parts(tokens, at) {
   let named, near, word;
  near = [...clause_words(tokens, at, 4), ...words_after(tokens, at, 3)];
  named = py.each(near).filter((word) => (py.has(word, SAID["sells"]))).map((word) => (word));
  return ((py.len(named) > 0) && (py.len(py.each(near).filter((word) => (py.has(word, SAID["either price"]))).map((word) => (word))) === 0));
 }
 function put(target, field, tokens) {
   let have, name, shown, value, year;
  [name, value] = [field[0], field[1]];
  if ((name === "features")) {
   if ((!py.has(tokens[field[2]]["used"], ["", "feature", "no", "size", "volts", "finding"]))) {
    return null;
   }
   have = py.get(target, "features", []);
   target["features"] = ((py.has(value, have)) ? have : [...have, value]);
  } else {
   if ((name === "volts")) {
    if ((py.has(value, [110, 115, 120]))) {
     put(target, ["features", "120 V", field[2]], tokens);
    } else {
     if ((py.has(value, [208, 220, 230, 240]))) {
      have = py.get(target, "features", []);
      shown = ((value === 208) ? "208 V" : "240 V");
      target["features"] = [...have, shown];
     }
    }
   } else {
    if ((name === "free")) {
     if ((!py.has("their_price", target))) {
      target["their_price"] = 0.0;
     }
    } else {
     if ((name === "round_miles")) {
      _once(target, "round_trip_miles", value, tokens, field[2]);
     } else {
      if ((name === "made")) {
       _once(target, "made", py.each(value).map((year) => (py.int(year))), tokens, field[2]);
      } else {
       if ((py.has(name, ["fuel", "fuel said"]))) {
        if ((name === "fuel")) {
         py.first(target, "fuel", ((value === "propane") ? "gas" : value));
        }
        if (((value === "propane") && (!py.has("propane", py.get(target, "features", []))))) {
         target["features"] = [...py.get(target, "features", []), "propane"];
        }
       } else {
        if ((py.has(name, SAID["read names"]))) {
         _once(target, name, value, tokens, field[2]);
        }
       }
      }
     }
    }
   }
  }
 }
 const [OF_THE_CALL, OF_EVERY] = [-1, -2];
 function several(tokens, units, fields, whole, each) {
   let counted_units, f, field, k, name, place, same, seen;
  counted_units = (py.len(each) > py.len(units));
  seen = {  };
  for (field of py.each(fields)) {
   name = field[0];
   same = py.each(fields).filter((f) => (py.eq(f[0], name))).map((f) => (f));
   if ((py.truth(counted_units) && (py.eq(py.len(same), py.len(each))) && (!py.has(name, ["for one", "features"])))) {
    seen[name] = py.add(py.get(seen, name, -1), 1);
    put(each[seen[name]], field, tokens);
    continue;
   }
   k = _whose(tokens, units, field, fields, counted_units);
   if ((py.eq(k, OF_THE_CALL))) {
    put(whole, field, tokens);
   }
   for (place of py.range(py.len(each))) {
    if (((py.eq(k, OF_EVERY)) || (py.eq(k, place)))) {
     put(each[place], field, tokens);
    }
   }
  }
 }
 function _whose(tokens, units, field, fields, counted_units) {
   let after, alone, at, f, for_all, k, last, name, one, prices, same;
  [name, at] = [field[0], field[2]];
  k = unit_at(at, units);
  for_all = py.each(fields).filter((f) => (f[0] === "for all")).map((f) => (f[2]));
  if ((py.has(name, SAID["prices"]))) {
   prices = py.each(fields).filter((f) => ((py.has(f[0], SAID["prices"])) && (!py.has(f[2], for_all)))).map((f) => (f));
   if ((py.len(py.each(fields).filter((f) => ((f[0] === "for each") && (py.eq(f[2], at)))).map((f) => (f))) > 0)) {
    return ((py.len(prices) === 1) ? OF_EVERY : k);
   }
   after = py.each(units).filter((one) => (py.truth(for_a_unit(tokens, at)) && py.truth(_named_at(one, at)))).map((one) => (one));
   if ((py.len(after) > 0)) {
    return py.int(after[0]["unit"]);
   }
   alone = (py.len(py.each(fields).filter((f) => (py.has(f[0], SAID["prices"]))).map((f) => (f))) === 1);
   if (((at < units[0]["start"]) && py.truth(alone))) {
    return OF_THE_CALL;
   }
   last = ((py.eq(k, (py.len(units) - 1))) || py.truth(counted_units) || (at < py.get(units[0], "cut", 0)));
   return (((py.has(at, for_all)) || (py.truth(alone) && py.truth(last))) ? OF_THE_CALL : k);
  }
  same = py.each(fields).filter((f) => (py.eq(f[0], name))).map((f) => (f[2]));
  if (((py.has("cut", units[0])) && (name === "size") && (py.eq(py.len(same), py.len(units))))) {
   return same.indexOf(at);
  }
  if (((py.has(name, SAID["shared"])) || ((py.has(name, ["parts", "hours"])) && (py.has(at, for_all))))) {
   return OF_THE_CALL;
  }
  if (((name === "fuel") && (py.has("cut", units[0])) && (at > units[0]["cut"]))) {
   return k;
  }
  if (((py.has(name, SAID["unit fields"])) && (py.truth(counted_units) || py.truth(_of_every(tokens, units, field, for_all))))) {
   return (((name === "age") && !py.truth(counted_units)) ? OF_THE_CALL : OF_EVERY);
  }
  if (((py.has(name, ["maker", "finish", "condition", "size", "fuel"])) && (py.add(k, 1) < py.len(units)))) {
   after = units[py.add(k, 1)]["start"];
   return ((((after - at) <= 2) && (tokens[after]["stop"] === 0)) ? py.add(k, 1) : k);
  }
  return k;
 }
 function _named_at(one, at) {
   let start, starts;
  starts = [one["start"], ...py.get(one, "named", [])];
  return (py.len(py.each(starts).filter((start) => (at < start && start <= py.add(at, 4))).map((start) => (start))) > 0);
 }
 function _of_every(tokens, units, field, for_all) {
   let alone, at, last, name;
  [name, at] = [field[0], field[2]];
  last = (py.eq(unit_at(at, units), (py.len(units) - 1)));
  if (py.truth(has_phrase(py.add(words_after(tokens, at, 2), clause_words(tokens, at, 2)), ["both", "all"]))) {
   return true;
  }
  if (((py.len(for_all) > 0) && (at > py.max(for_all)))) {
   return true;
  }
  alone = ((tokens[at]["stop"] > 0) && (py.len(words_after(tokens, at, 1)) === 0));
  if (((name === "maker") && py.truth(last) && py.truth(alone))) {
   return true;
  }
  if (((py.has("cut", units[0])) && ((py.truth(last) && (tokens[at]["stop"] > 0)) || (at < units[0]["cut"])))) {
   return true;
  }
  return py.truth((at < (units[0]["start"] - 6)));
 }
 function counted(unit, one, fields) {
   let conditions, copy, count, f, k, out;
  count = unit["count"];
  out = [];
  conditions = py.each(fields).filter((f) => (f[0] === "condition")).map((f) => (f));
  for (k of py.range(count)) {
   copy = ({ ...one });
   if ((py.eq(py.len(one["faults"]), count))) {
    copy["faults"] = [one["faults"][k]];
   }
   if ((py.eq(py.len(conditions), count))) {
    copy["condition"] = conditions[k][1];
   }
   out.push(copy);
  }
  return out;
 }
 function left_over(tokens, forms, parts, units, moment, tables) {
   let blank, counts, deny, i, k, least, one, out, part, rest, sort, swallowed, tells, unit, words;
  out = [];
  for (part of py.each(parts)) {
   unit = units[part["unit"]];
   blank = ((moment !== "ask") && (py.len(unit["faults"]) === 0) && (unit["found"] === ""));
   rest = tokens.slice(part["start"], part["end"]).map((one) => (_rest(one, tables)));
   for (k of py.range(py.len(rest))) {
    if (((rest[k] === "word") && !py.truth(blank) && py.truth(_at_doing(tokens, py.add(part["start"], k))))) {
     rest[k] = "idle";
    }
   }
   for (k of py.range(py.len(rest))) {
    swallowed = (py.truth(blank) && (tokens[py.add(part["start"], k)]["used"] === "no"));
    rest[k] = (py.truth(swallowed) ? "telling" : rest[k]);
   }
   least = (((!py.has("used", rest)) && (py.len(rest) > 1)) ? 0 : 1);
   tells = (py.len(py.each(rest).filter((sort) => (sort === "telling")).map((sort) => (sort))) > least);
   if ((py.truth(blank) && (unit["type"] !== "") && py.truth(tells))) {
    rest = py.each(rest).map((sort) => (sort.replaceAll("telling", "word")));
   }
   words = [];
   counts = false;
   for (k of py.range(py.add(py.len(rest), 1))) {
    i = py.add(part["start"], k);
    if (((py.eq(k, py.len(rest))) || (rest[k] === "used"))) {
     if (py.truth(counts)) {
      out.push(words.join(" "));
     }
     words = [];
     counts = false;
     continue;
    }
    deny = ((py.has(forms[i], ["not", "no"])) && (py.nil(tokens[i]["n"])));
    if (((rest[k] === "word") || py.truth(deny) || (py.len(words) > 0))) {
     counts = (py.truth(counts) || ((rest[k] === "word") && !py.truth(deny)) || (py.len(words) > 0));
     words.push(tokens[i]["t"]);
    }
   }
  }
  return out;
 }
 function _at_doing(tokens, i) {
   let lead;
  lead = (((i > 0) && (tokens[i]["stop"] === 0)) ? tokens[(i - 1)]["w"] : "");
  return ((py.has(lead, SAID["at doing"])) && (py.has(tokens[i]["w"], SAID["doing words"])));
 }
 function _rest(one, tables) {
   let known, soft;
  soft = (py.truth(py.get(one, "soft", false)) ? py.get(one, "soft", false) : (one["w"] === "one"));
  if (((!py.has(one["used"], ["", "open"])) || (py.get(one, "part", "") !== "") || py.truth(py.get(one, "kind", false)))) {
   return "used";
  }
  if ((!py.nil(one["n"]))) {
   return ((one["w"] === "one") ? "idle" : "word");
  }
  if ((py.truth(soft) && (one["w"] !== "one"))) {
   return "used";
  }
  if (py.truth(py.get(one, "unsaid", false))) {
   return "word";
  }
  known = ((py.has(one["w"], tables["idle_words"])) ? (py.has(one["w"], tables["idle_words"])) : (py.has(one["w"], tables["filler"])));
  if (!(py.truth(soft) || py.truth(known) || (py.len(one["w"]) < 2))) {
   return "word";
  }
  return ((py.has(one["w"], tables["telling"])) ? "telling" : "idle");
 }
 function asks(tokens, answer, fields, moment, units) {
   let bare, f, field, line, lone, name, names, one, out, priced, read_now;
  names = py.each(fields).map((field) => (field[0]));
  out = [];
  if ((py.len(units) === 0)) {
   out.push("type");
  }
  read_now = answer["read"];
  bare = py.each(tokens).filter((one) => ((!py.nil(one["n"])) && (py.has(one["used"], ["", "open"])) && (one["w"] !== "one") && !py.truth(py.get(one, "unclear", false)))).map((one) => (one));
  priced = ((py.has("their_price", read_now)) ? (py.has("their_price", read_now)) : (py.has("free", names)));
  if ((moment === "offer")) {
   priced = (py.truth(priced) ? priced : (py.len(py.each(fields).filter((f) => (py.has(f[0], SAID["prices"]))).map((f) => (f))) > 0));
   if (((py.len(bare) > 0) && !py.truth(priced))) {
    out.push("their_price");
   } else {
    if ((py.len(bare) > 0)) {
     out = py.more(out, ["age", "miles"].filter((name) => (!py.has(name, names))).map((name) => (name)));
    }
   }
   lone = (py.len(py.each(fields).filter((f) => ((f[0] === "for one") && (f[1] === "their_price"))).map((f) => (f))) > 0);
   if ((py.truth(lone) && (py.len(units) === 1) && (units[0]["count"] > 1))) {
    out.push("their_price");
   }
   if (((py.has("noprice", names)) && !py.truth(priced))) {
    out = ((py.has("their_price", out)) ? out : [...out, "their_price"]);
    if ((py.has("or_best_offer", read_now))) {
     delete read_now["or_best_offer"];
    }
   }
  } else {
   if (((moment === "ask") && (py.len(bare) > 0))) {
    out.push("asked_now");
   } else {
    if (((moment === "bench") && (py.len(bare) > 0))) {
     out.push("parts");
    }
   }
  }
  line = py.each(tokens).map((one) => (one["w"]));
  if (((moment === "bench") && (py.has("found", read_now)) && py.truth(has_phrase(line, SAID["undecided"])))) {
   out.push("found");
  }
  if (((moment === "offer") && (py.len(py.each(tokens).filter((one) => py.truth(py.get(one, "either", false))).map((one) => (one))) > 0))) {
   out.push("type");
  }
  if (((py.has("owned", names)) && (!py.has("age", names)) && (!py.has("made", names)))) {
   out.push("age");
  }
  return out;
 }
 return { gathered, unit_into, put, OF_THE_CALL, OF_EVERY, several, counted, left_over, asks };
})();
const reader_words = (() => {
 const { take_numbers, take_years, words_after } = amounts_words;
 const { Field, blank_unit, give_fuel, mark_mentions, name_again, pair_up, parts_of, told_apart } = breath_words;
 const { take_makers, take_own_features, take_place } = called_words;
 const { read_troubles, tags_of } = diagnosis_words;
 const { DIGITS } = digits_words;
 const { asks, gathered, left_over } = gist_words;
 const { mentions_of, narrow_by_words, units_of } = kinds_words;
 const { take_said } = looks_words;
 const { take_money } = prices_words;
 const { known, mend_typos, plain_words, ready } = sayings_words;
 const { last_said, mark_left_open, mark_taken_back, with_last_kind, with_last_number, with_last_word, without_asides } = second_thoughts_words;
 const { SAID, Table, Tables, Tokens, tokens_of } = tokens_words;
 function read(text, moment, tables, own, year_now) {
   let answer, codes, f, field, fields, forms, goods, heard_units, heavy, i, mentions, name, named, one, parts, read_as, tags, token, tokens, units, words;
  ready(tables);
  tokens = with_last_number(without_asides(tokens_of(text, py.get(own, "mark", "."))));
  tokens = with_last_word(tokens);
  read_as = mend_typos(tokens, tables, own);
  forms = plain_words(py.each(tokens).map((one) => (one["w"])), tables);
  _codes_told(tokens, forms, tables);
  fields = [];
  _serials(tokens);
  mark_left_open(tokens, forms);
  take_numbers(tokens, tables["numbers"], moment, fields);
  take_years(tokens, fields, year_now);
  mentions = with_last_kind(tokens, mentions_of(tokens, forms, tables, own));
  units = units_of(tokens, mentions, tables);
  narrow_by_words(tokens, units, tables, false);
  units = pair_up(tokens, units, mentions);
  mark_mentions(tokens, mentions);
  units = told_apart(tokens, forms, units);
  narrow_by_words(tokens, units, tables, true);
  name_again(tokens, units, mentions);
  _not_meant(tokens, forms, moment);
  take_makers(tokens, units, fields, tables, own);
  take_own_features(tokens, fields, own);
  take_place(tokens, fields, tables);
  take_money(tokens, forms, moment, fields, py.len(units));
  take_said(tokens, forms, fields, moment, units, tables);
  words = py.each(tokens).map((token) => (token["w"]));
  named = ((py.len(units) > 0) ? units : [null]);
  heard_units = py.each(named).map((one) => (blank_unit(one, tables, own, words)));
  give_fuel(tokens, units, heard_units, fields);
  parts = parts_of(tokens, mentions, units);
  for (i of py.range(py.len(tokens))) {
   if ((py.has(tokens[i]["used"], SAID["gone"]))) {
    forms[i] = "";
   }
  }
  read_troubles(tokens, forms, parts, heard_units, moment, tables, own);
  codes = py.range(py.len(tokens)).filter((i) => ((py.has("code", tokens[i])) && (tokens[i]["used"] === "fault"))).map((i) => (i));
  fields = py.more(fields, py.each(codes).map((i) => (["code", tokens[i]["code"], i])));
  tags = tags_of(tokens, forms, parts, heard_units, tables);
  heavy = py.each(fields).filter((field) => ((field[0] === "weight") && (field[1] >= 75))).map((field) => (field));
  tags = py.more(tags, (((py.len(heavy) > 0) && (!py.has("weight", tags))) ? ["weight"] : []));
  fields = py.each(fields).filter((f) => ((f[0] !== "features") || !py.truth(_spoilt(tokens, parts, f[2])))).map((f) => (f));
  fields = py.each(fields).filter((f) => ((moment !== "bench") || (f[0] !== "volts"))).map((f) => (f));
  fields = last_said(tokens, fields, (py.len(units) < 2));
  answer = gathered(tokens, units, heard_units, fields, moment, tables);
  answer["not_understood"] = left_over(tokens, forms, parts, heard_units, moment, tables);
  answer["asks_back"] = asks(tokens, answer, fields, moment, units);
  answer["tags"] = tags;
  goods = py.each(units).filter((one) => py.truth(one["goods"])).map((one) => (one["type"]));
  answer["other_trade"] = py.each(goods).filter((name) => (!py.has(name, tables["refused_goods"]))).map((name) => (name));
  answer["read_as"] = read_as;
  for (field of py.each(fields).filter((field) => (field[0] === "days_listed")).map((field) => (field))) {
   answer["days_listed"] = field[1];
  }
  return answer;
 }
 function _not_meant(tokens, forms, moment) {
   let does_not, i;
  _not_that(tokens);
  _denied_next(tokens);
  mark_taken_back(tokens);
  _fine_parts(tokens);
  for (i of py.range((py.len(tokens) - 2))) {
   does_not = ((forms[i] === "not") && (py.has(forms[py.add(i, 1)], SAID["doings"])));
   if (((moment === "bench") && py.truth(does_not) && (py.has(tokens[py.add(i, 2)]["w"], SAID["sells"])))) {
    tokens[py.add(i, 2)]["stop"] = py.max(tokens[py.add(i, 2)]["stop"], 1);
   }
  }
 }
 function _spoilt(tokens, parts, i) {
   let cept, gone, of_it, one, part;
  of_it = py.each(parts).filter((part) => (part["start"] <= i && i < part["end"])).map((part) => (part));
  cept = py.each(of_it).filter((part) => (py.has(tokens[part["start"]]["w"], ["except", "cept"]))).map((part) => (part));
  gone = ((py.len(cept) > 0) ? (py.len(cept) > 0) : (py.len(py.each(of_it).filter((part) => py.truth(py.get(part, "fault", false))).map((part) => (part))) > 0));
  for (one of py.each((py.truth(gone) ? tokens.slice(i, py.add(i, 2)) : []))) {
   one["unsaid"] = py.get(one, "soft", false);
   one["soft"] = false;
  }
  return gone;
 }
 function _not_that(tokens) {
   let i, that;
  for (i of py.range(1, (py.len(tokens) - 1))) {
   that = ((tokens[i]["w"] === "that") && (py.has(tokens[(i - 1)]["w"], SAID["is not"])));
   if ((py.truth(that) && (py.has(tokens[py.add(i, 1)]["w"], ["it", "its", "it's", "the", "they", "i"])))) {
    _idle_from(tokens, (i - 1));
   }
  }
  _not_so(tokens);
 }
 function _not_so(tokens) {
   let after, i, j, one, w;
  for (i of py.range((py.len(tokens) - 1))) {
   after = words_after(tokens, i, 7);
   if (((tokens[i]["w"] === "thought") && (py.has("but", after)))) {
    for (one of tokens.slice(i, py.add(py.add(i, ((py.has("no", after)) ? 3 : 2)), after.indexOf("but")))) {
     one["used"] = (((one["used"] === "") && (py.nil(one["n"]))) ? "idle" : one["used"]);
    }
   } else {
    if (((py.has(tokens[i]["w"], SAID["thinking"])) && (py.has(tokens[py.add(i, 1)]["w"], SAID["of it"])))) {
     j = _idle_from(tokens, i);
     if ((py.len(words_after(tokens, j, 3).filter((w) => (py.has(w, SAID["is not"]))).map((w) => (w))) > 0)) {
      _idle_from(tokens, j);
     }
    }
   }
  }
 }
 function _denied_next(tokens) {
   let i, k, one, said, starts, teller, words;
  starts = py.range(py.len(tokens)).filter((i) => ((i === 0) || (tokens[i]["stop"] > 0))).map((i) => (i));
  for (k of py.range(1, py.len(starts))) {
   words = [tokens[starts[k]]["w"], ...words_after(tokens, starts[k], 4)];
   said = [tokens[starts[(k - 1)]]["w"], ...words_after(tokens, starts[(k - 1)], 12)];
   teller = py.range(py.len(said)).filter((i) => (py.has(said[i], SAID["hearsay"]))).map((i) => (i));
   if (((py.has(words.join(" "), SAID["not so"])) && (py.len(teller) > 0))) {
    for (one of tokens.slice(py.add(starts[(k - 1)], teller[0]), py.add(starts[k], py.len(words)))) {
     one["used"] = (((one["used"] === "") && (py.nil(one["n"]))) ? "idle" : one["used"]);
    }
   }
  }
 }
 function _idle_from(tokens, start) {
   let j;
  j = start;
  while (((j < py.len(tokens)) && ((tokens[j]["stop"] === 0) || (py.eq(j, start))))) {
   if ((py.nil(tokens[j]["n"]))) {
    tokens[j]["used"] = "idle";
   }
   j = py.more(j, 1);
  }
  return j;
 }
 function _fine_parts(tokens) {
   let before, few, follows, i, j, one, size, word;
  for (i of py.range((py.len(tokens) - 1))) {
   if (((!py.has(tokens[i]["used"], ["", "part"])) || py.truth(py.get(tokens[i], "kind", false)))) {
    continue;
   }
   size = _well_from(tokens, i);
   before = ((tokens[i]["stop"] === 0) ? tokens.slice(py.max((i - 3), 0), i).map((one) => (one["w"])) : []);
   follows = ((py.add(i, size) < py.len(tokens)) ? tokens[py.add(i, size)]["w"] : "");
   few = py.each(before).filter((word) => (py.has(word, SAID["few"]))).map((word) => (word));
   if (((py.len(few) > 0) || (py.has(follows, SAID["ends well"])))) {
    continue;
   }
   for (j of py.range(i, py.add(i, size))) {
    tokens[j]["used"] = "idle";
   }
  }
 }
 function _well_from(tokens, i) {
   let does, goes, j, moving, word, works;
  word = tokens[i]["w"];
  moving = (py.has(word, SAID["parts well"]));
  if ((!py.truth(moving) && (!py.has(word, SAID["parts tested"])))) {
   return 0;
  }
  j = py.add(i, 1);
  does = false;
  while (((j < py.len(tokens)) && (tokens[j]["stop"] === 0) && (j < py.add(i, 5)))) {
   goes = (py.truth(moving) && (py.has(tokens[j]["w"], SAID["does"])));
   if ((!py.truth(goes) && (!py.has(tokens[j]["w"], SAID["seems"])))) {
    break;
   }
   works = (py.truth(goes) && (py.has(tokens[j]["w"], ["works", "work"])) && (word !== "maker"));
   does = (py.truth(works) ? works : (py.truth(goes) && (word === "burners") && (py.has(tokens[(j - 1)]["w"], ["all", "burners"]))));
   j = py.more(j, 1);
  }
  if (((j < py.len(tokens)) && (tokens[j]["stop"] === 0) && (py.has(tokens[j]["w"], SAID["well"])))) {
   return (py.add(j, 1) - i);
  }
  return (py.truth(does) ? (j - i) : 0);
 }
 function _serials(tokens) {
   let c, code, i, near, one, word;
  for (i of py.range(1, py.len(tokens))) {
   word = tokens[i]["w"];
   code = (!py.truth(py.isalpha(word)) && (py.nil(tokens[i]["n"])) && (py.len(word) > 4));
   near = tokens.slice(py.max((i - 2), 0), i).filter((one) => (py.has(one["w"], SAID["serial"]))).map((one) => (one));
   if ((py.truth(code) && (py.len(near) > 0) && (py.len(py.each(word).filter((c) => (py.has(c, DIGITS))).map((c) => (c))) > 0))) {
    tokens[i]["used"] = "no";
   }
  }
 }
 function _shown_code(tokens, i, tables) {
   let one, plate, shown, typed;
  one = tokens[i];
  plate = ((i > 1) && (py.has(tokens[(i - 2)]["w"], ["nameplate", "plate", "tag", "sticker", "label"])));
  shown = ((one["stop"] === 0) && (py.has(tokens[(i - 1)]["w"], SAID["shows"])));
  if ((py.truth(plate) || !py.truth(shown) || (one["w"][0] === "r") || (py.len(one["w"]) > 4))) {
   return false;
  }
  typed = (py.truth(py.isupper(one["t"])) ? py.isupper(one["t"]) : (py.has(tokens[(i - 1)]["w"], ["code", "error"])));
  return (py.truth(typed) && !py.truth(known(one["w"], tables)) && (py.nil(one["n"])) && (py.len(one["w"]) > 1));
 }
 function _comes_up(tokens, i) {
   let after, c, letters, mixed, shown, word;
  word = tokens[i]["w"];
  letters = py.each(word).filter((c) => (!py.has(c, DIGITS))).map((c) => (c));
  mixed = ((0 < py.len(letters) && py.len(letters) < 3) && (py.len(letters) < py.len(word) && py.len(word) < 4) && (py.nil(tokens[i]["n"])));
  after = words_after(tokens, i, 2);
  shown = ((py.len(after) > 0) && (py.has(after[0], ["code", "error", "flashing", "blinking", "flashes"])));
  return (py.truth(mixed) && (!py.has(word[0], DIGITS)) && (py.truth(shown) || (py.has(after.join(" "), SAID["comes up"]))));
 }
 function _code_of_two(tokens, i) {
   let apart, c, figure, letter, one;
  if (((i === 0) || (py.add(i, 1) >= py.len(tokens)) || (!py.has(tokens[(i - 1)]["w"], ["code", "error"])))) {
   return false;
  }
  [figure, letter] = [tokens[i]["t"], tokens[py.add(i, 1)]["t"]];
  apart = py.add(tokens[i]["stop"], tokens[py.add(i, 1)]["stop"]);
  one = ((py.len(letter) === 1) && py.truth(py.isalpha(letter)) && (apart === 0));
  return (py.truth(one) && (py.len(figure) < 3) && (py.len(py.each(figure).filter((c) => (!py.has(c, DIGITS))).map((c) => (c))) === 0));
 }
 function _as_code(tokens, forms, i) {
   let before, one;
  tokens[i]["code"] = tokens[i]["t"].toUpperCase();
  before = ((i > 0) ? tokens[(i - 1)]["w"] : "");
  if (((py.has(before, SAID["shows"])) && (!py.has(before, ["code", "error"])))) {
   tokens[(i - 1)]["used"] = "no";
  }
  for (one of tokens.slice(py.add(i, 1), py.add(i, 4))) {
   if ((py.has(one["w"], ["display", "screen", "panel", "readout"]))) {
    one["used"] = "no";
   }
  }
  tokens[i]["w"] = "error code";
  forms[i] = "error cod";
 }
 function _codes_told(tokens, forms, tables) {
   let i, leg, word;
  for (i of py.range(py.len(tokens))) {
   word = tokens[i]["w"];
   if (py.truth(_code_of_two(tokens, i))) {
    tokens[i]["t"] = py.more(tokens[i]["t"], tokens[py.add(i, 1)]["t"]);
    tokens[i]["n"] = null;
    tokens[(i - 1)]["used"] = "no";
    tokens[py.add(i, 1)]["used"] = "no";
    _as_code(tokens, forms, i);
    continue;
   }
   if (py.truth(_comes_up(tokens, i))) {
    _as_code(tokens, forms, i);
    continue;
   }
   leg = (py.has(word, ["l1", "l2"]));
   if (((py.nil(tokens[i]["n"])) && (2 <= py.len(word) && py.len(word) <= 4) && (py.has(word[0], "efiuld")) && !py.truth(leg))) {
    if (((py.has(word[(py.len(word) - 1)], "0123456789")) && (py.has(word.slice(1, 2), "0123456789er")))) {
     _as_code(tokens, forms, i);
    }
   } else {
    if (((i > 0) && py.truth(_shown_code(tokens, i, tables)))) {
     _as_code(tokens, forms, i);
    }
   }
  }
 }
 return { read };
})();
const as_question_words = (() => {
 const { Table, Tables, tokens_of } = tokens_words;
 const MILES_A_KILOMETRE = 0.621371;
 const MOST_UNITS = 12;
 const UNIT = ["type", "maker", "condition", "fuel", "finish", "size", "found", "age"];
 const NUMBERS = ["their_price", "miles", "parts", "hours", "fix_chance", "price", "spent_money", "spent_hours", "offered", "asked_now", "stairs"];
 function in_own_distance(found, metric) {
   let foreign, name, part;
  for (part of [found["read"], ...py.get(found, "each", [])]) {
   for ([name, foreign] of [["miles", "km"], ["round_trip_miles", "round_km"]]) {
    if (((!py.has(name, part)) && (py.has(foreign, part)))) {
     part[name] = (part[foreign] * (py.truth(metric) ? 1 : MILES_A_KILOMETRE));
    } else {
     if (((py.has(name, part)) && py.truth(metric))) {
      part[name] = (part[name] / MILES_A_KILOMETRE);
     }
    }
    if ((py.has(foreign, part))) {
     delete part[foreign];
    }
   }
  }
 }
 function asked(found, moment, trade, row_of, called) {
   let faults, first, kind, n, name, one, read, unit, units, value, warnings, year;
  units = py.get(found, "each", []);
  first = ((py.len(units) > 0) ? units[0] : {  });
  read = { ...found["read"], ...first };
  if (((py.len(units) > 0) && (!py.has("their_price", first)))) {
   read = Object.fromEntries(Object.entries(read).filter(([name, value]) => (name !== "their_price")).map(([name, value]) => ([name, value])));
  }
  unit = _unit(read, (py.truth(py.get(first, "kinds")) ? py.get(first, "kinds") : py.get(found, "kinds")), trade["plain"], called);
  kind = py.get(unit, "type", "");
  faults = ranked_faults(read, trade["dangers"], (name) => row_of(name, kind)[0].fix);
  if ((py.len(faults) > 0)) {
   faults[0] = as_recorded(faults[0], kind, trade["faults"], row_of);
   unit["fault"] = faults[0];
  }
  if (((moment === "ask") && (py.get(unit, "fault") === "works; owner upgraded"))) {
   delete unit["fault"];
  }
  warnings = notes(found, faults, moment);
  if (((py.get(found, "units", 1) > 1) && (moment !== "offer"))) {
   n = found["units"];
   warnings.push(`I read ${n} units: this answers the first. Say the others alone.`);
  }
  return { ["unit"]: unit, ["known"]: _numbers(read), ["made"]: ((!py.has("age", unit)) ? py.get(read, "made", []).map((year) => (py.int(year))) : []), ["warnings"]: warnings, ["heard"]: found, ["each"]: _alone(found).map((one) => (asked(one, moment, trade, row_of, called))) };
 }
 function _unit(read, kinds, plain, called) {
   let name, one, unit, word, words;
  unit = Object.fromEntries(py.each(UNIT).filter((name) => ((!py.nil(py.get(read, name))) && (read[name] !== ""))).map((name) => ([name, read[name]])));
  if ((py.truth(kinds) && (!py.has("type", unit)))) {
   words = py.each(plain).filter((word) => (py.eq(plain[word], kinds))).map((word) => (word));
   unit["type"] = ((py.len(words) > 0) ? words[0] : kinds[0]);
  }
  if ((py.has("size", unit))) {
   unit["size"] = Number(unit["size"]);
  }
  if ((py.has("maker", unit))) {
   unit["maker"] = called(unit["maker"]);
  }
  for (name of ["features", "repair"]) {
   if (py.truth(py.get(read, name))) {
    unit[name] = py.sorted(py.fromkeys(py.each(read[name]).map((one) => (String(one))))).join("; ");
   }
  }
  return unit;
 }
 function _numbers(read) {
   let name, numbers;
  numbers = Object.fromEntries(py.each(NUMBERS).filter((name) => (!py.nil(py.get(read, name)))).map((name) => ([name, Number(read[name])])));
  if (((!py.has("miles", numbers)) && (!py.nil(py.get(read, "round_trip_miles"))))) {
   numbers["miles"] = (read["round_trip_miles"] / 2);
  }
  if ((!py.nil(py.get(read, "drive_min")))) {
   numbers["drive_min"] = (2 * read["drive_min"]);
  }
  return numbers;
 }
 function _alone(found) {
   let bare, n, name, one, shared, units, value;
  n = (py.truth(py.get(found, "units")) ? py.get(found, "units") : 1);
  if ((n < 2)) {
   return [];
  }
  units = py.list(py.get(found, "each", []));
  while (((py.len(units) < n) && (py.len(units) < MOST_UNITS))) {
   units.push(((py.len(units) > 0) ? units[(py.len(units) - 1)] : {  }));
  }
  shared = Object.fromEntries(Object.entries(found["read"]).filter(([name, value]) => (name !== "their_price")).map(([name, value]) => ([name, value])));
  bare = { ["units"]: 1, ["each"]: [], ["not_understood"]: [], ["read_as"]: [] };
  return py.each(units).map((one) => ({ ...found, ...bare, ["read"]: { ...shared, ...one }, ["kinds"]: py.get(one, "kinds", py.get(found, "kinds")) }));
 }
 function counts_beside(name, kind, said) {
   let named;
  named = py.get(said["unit"], "type", "");
  if (((named !== "") && (kind !== "") && (!py.eq(kind, named)))) {
   return (py.has(name, ["at_curb", "owner"]));
  }
  if ((py.has(name, ["made", "age"]))) {
   return ((py.len(said["made"]) === 0) && (!py.has("age", said["unit"])));
  }
  return ((!py.has(name, said["unit"])) && (!py.has(name, said["known"])));
 }
 function as_recorded(fault, type_name, mine, row_of) {
   let bare, known, one, row;
  bare = (py.truth(fault.endsWith(")")) ? py.split(fault, " (")[0] : fault);
  [row, known] = row_of(fault, type_name);
  if (!py.truth(known)) {
   return fault;
  }
  for (one of [fault, bare, ...mine]) {
   if (((py.has(one, mine)) && (py.eq(row_of(one, type_name), [row, true])))) {
    return one;
   }
  }
  return ((py.eq(row_of(bare, type_name), [row, true])) ? bare : fault);
 }
 function ranked_faults(read, dangers, fixed) {
   let faults, led, name;
  faults = (py.truth(py.get(read, "fault")) ? [read["fault"]] : py.get(read, "faults", []));
  led = py.each(faults).filter((name) => (py.has(name, dangers))).map((name) => (name));
  return py.add(led, py.sorted(py.each(faults).filter((name) => (!py.has(name, dangers))).map((name) => (name)), fixed));
 }
 function notes(found, faults, moment) {
   let days, it, left, name, one, others, phrase, told;
  told = py.each(found["read_as"]).map((one) => (`I read "${one["said"]}" as "${one["read"]}".`));
  left = py.each(found["not_understood"]).map((phrase) => (`"${phrase}"`)).join(", ");
  if ((left !== "")) {
   it = ((py.len(found["not_understood"]) === 1) ? "it" : "them");
   told.push(`I did not understand ${left} and left ${it} out.`);
  }
  if (((py.has("days_listed", found)) && (moment !== "ask"))) {
   days = String(py.int(found["days_listed"]));
   told.push(`I read ${days} days on the market: this answer doesn't count them.`);
  }
  if ((py.len(faults) > 1)) {
   others = faults.slice(1).map((name) => (`"${name}"`)).join(", ");
   told.push(`I also read ${others}: this answer counts the worst, ${faults[0]}.`);
  }
  return told;
 }
 function of_other_trade(found, kind) {
   let why;
  if (((kind === "") || (!py.has(kind, py.get(found, "other_trade", []))))) {
   return [];
  }
  why = `${kind} is not an appliance I have figures for, and no sale of yours tells its price`;
  return [why, `add sales of it, or write under [usual_price] in pricing.toml: "${kind}" = 100`];
 }
 function at_curb(text) {
   let line, one, stands;
  line = py.add(tokens_of(text).map((one) => (one["w"])).join(" "), " ");
  for (stands of ["i'm", "im", "already", "standing"]) {
   if (((line.indexOf(py.add(stands, " at the curb ")) >= 0) || (line.indexOf(py.add(stands, " at the kerb ")) >= 0))) {
    return true;
   }
  }
  return false;
 }
 function open_number(found) {
   let numbers, one, phrase;
  numbers = [];
  for (phrase of py.each(found["not_understood"])) {
   numbers = py.more(numbers, tokens_of(phrase).filter((one) => (!py.nil(one["n"]))).map((one) => (one["n"])));
  }
  return ((py.len(numbers) === 1) ? numbers[0] : null);
 }
 return { MILES_A_KILOMETRE, MOST_UNITS, UNIT, NUMBERS, in_own_distance, asked, counts_beside, as_recorded, ranked_faults, notes, of_other_trade, at_curb, open_number };
})();
