// Photographs: taken by the device's camera, turned upright, made small, and
// tied to a unit, a joint or a room by what they are of.

const longest = 1600; // pixels of the longer side
const quality = 0.82;

const shownBy = (group) => (["unit", "joint"].includes(group.kind) ? group.of : "");

// photosOf lists the photographs of a place.
const photosOf = (group) => (group.room ? answers.photos.filter((p) => p.room === group.room.name && p.of === shownBy(group)) : []);

function photoBoxes(group) {
  const of = shownBy(group);
  const shelf = el("div", { class: "photos" });
  const draw = () => {
    const take = el("input", { type: "file", accept: "image/*", capture: "environment", class: "take", "aria-label": "photograph of " + group.title, change: async () => {
      await take1(take.files[0], group.room.name, of);
      draw();
    } });
    shelf.replaceChildren(el("label", { class: "camera" }, "Photograph", take), el("span", { class: "wrong", role: "alert" }), ...photosOf(group).map((p) => photoBox(p, draw)));
    const wrong = photoTrouble;
    photoTrouble = "";
    write(shelf.querySelector(".wrong"), wrong);
  };
  draw();
  return shelf;
}

let photoTrouble = "";

async function take1(file, room, of) {
  if (!file) return;
  try {
    const p = await small(file);
    if (!answers.photos.some((q) => q.id === p.id && q.room === room && q.of === of)) {
      answers.photos.push({ ...p, room, of, caption: "", by: answers.entries["people/0/name"] || "" });
      changed("photos");
    }
  } catch (e) {
    photoTrouble = "This picture cannot be taken: " + String(e.message || e).replace(/\.$/, "") + ". Take it again, or save it as JPEG.";
  }
}

// small turns a picture upright by its Exif tag, shrinks it, and names it by the
// SHA-256 of the bytes that are embedded.
async function small(file) {
  if (!crypto.subtle) throw new Error("the page was opened over http; open it as a file or over https");
  const upright = await createImageBitmap(file, { imageOrientation: "from-image" });
  const k = Math.min(1, longest / Math.max(upright.width, upright.height));
  const canvas = el("canvas", { width: Math.max(1, Math.round(upright.width * k)), height: Math.max(1, Math.round(upright.height * k)) });
  const pen = canvas.getContext("2d");
  pen.fillStyle = "#fff";
  pen.fillRect(0, 0, canvas.width, canvas.height);
  pen.drawImage(upright, 0, 0, canvas.width, canvas.height);
  upright.close();
  const blob = await new Promise((done) => canvas.toBlob(done, "image/jpeg", quality));
  if (!blob) throw new Error("it is too large for this device");
  const bytes = new Uint8Array(await blob.arrayBuffer());
  const sum = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return { id: [...sum].map((b) => b.toString(16).padStart(2, "0")).join(""), type: "image/jpeg", data: toBase64(bytes) };
}

function photoBox(p, draw) {
  const caption = el("input", { type: "text", class: "words", maxlength: "200", placeholder: "what to see in it", "aria-label": "caption of the photograph", input: () => ((p.caption = caption.value), changed("photos")) });
  caption.value = p.caption;
  const remove = sureButton("take away", "There is no other copy of it. ", () => ((answers.photos = answers.photos.filter((q) => q !== p)), changed("photos"), draw()));
  return el("figure", {}, el("img", { src: "data:image/jpeg;base64," + p.data, alt: p.caption || "photograph" }), el("figcaption", {}, caption, remove));
}
