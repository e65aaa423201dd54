"""Tiny pictures of every kind that a camera or a picker may give, and what Pillow sees in them.

Writes the pictures to photos/ beside this file and photos_pillow.json with the pixels that Pillow
decodes, laid over white and brought to sRGB where that applies.

    python3 -m pip install numpy pillow piexif
    python3 tests/oracles/photos_pillow.py
"""

import io
import json
import pathlib
import platform

import numpy
import piexif
import PIL
from PIL import Image, ImageCms, ImageOps, PngImagePlugin, features

HERE = pathlib.Path(__file__).parent
FOLDER = HERE / "photos"
WIDE, HIGH = 24, 16


def scene(width=WIDE, height=HIGH):
    """Smooth, with four corners of unlike colours, so that JPEG changes little and a wrong turn
    shows."""
    y, x = numpy.mgrid[0:height, 0:width].astype(float)
    x, y = x / (width - 1), y / (height - 1)
    red, green, blue = 40 + 180 * x, 30 + 190 * y, 220 - 120 * x - 60 * y
    return numpy.stack([red, green, blue], axis=-1).round().astype(numpy.uint8)


def seen(image):
    """What is to be seen: 8 bits, over white, as nested lists of rows."""
    if image.mode in ("RGBA", "LA", "PA") or "transparency" in image.info:
        image = image.convert("RGBA")
        ground = Image.new("RGBA", image.size, "white")
        image = Image.alpha_composite(ground, image)
    return image.convert("RGB")


def exif(orientation):
    return piexif.dump({
        "0th": {
            piexif.ImageIFD.Make: "Harrow", piexif.ImageIFD.Model: "Field 1",
            piexif.ImageIFD.Orientation: orientation,
        },
        "Exif": {
            piexif.ExifIFD.DateTimeOriginal: "2026:03:04 09:30:05",
            piexif.ExifIFD.BodySerialNumber: "SN-0042",
            piexif.ExifIFD.MakerNote: b"maker's own words",
        },
        "GPS": {
            piexif.GPSIFD.GPSLatitudeRef: "N",
            piexif.GPSIFD.GPSLatitude: ((51, 1), (30, 1), (1234, 100)),
            piexif.GPSIFD.GPSLongitudeRef: "W",
            piexif.GPSIFD.GPSLongitude: ((0, 1), (7, 1), (3960, 100)),
        },
    })


def saved(image, name, **how):
    buffer = io.BytesIO()
    image.save(buffer, **how)
    (FOLDER / name).write_bytes(buffer.getvalue())
    return Image.open(io.BytesIO(buffer.getvalue()))


def main():
    FOLDER.mkdir(exist_ok=True)
    rgb = Image.fromarray(scene())
    cases = []

    def case(name, image, **more):
        image.load()
        flat = seen(image)
        cases.append({"file": name, "width": flat.width, "height": flat.height,
                      "rgb": flat.tobytes().hex(), **more})

    fine = {"quality": 95, "subsampling": 0}
    for orientation in range(1, 9):
        name = f"turned-{orientation}.jpg"
        opened = saved(rgb, name, format="JPEG", exif=exif(orientation), **fine)
        case(name, ImageOps.exif_transpose(opened), taken="2026-03-04T09:30:05")
    case("progressive.jpg", saved(rgb, "progressive.jpg", format="JPEG", progressive=True, **fine))
    case("halved-colour.jpg",
         saved(rgb, "halved-colour.jpg", format="JPEG", quality=95, subsampling=2))
    case("restarts.jpg",
         saved(rgb, "restarts.jpg", format="JPEG", restart_marker_blocks=2, **fine))
    case("grey.jpg", saved(rgb.convert("L"), "grey.jpg", format="JPEG", quality=95))
    inks = saved(rgb.convert("CMYK"), "four-inks.jpg", format="JPEG", **fine)
    case("four-inks.jpg", inks, note="this picture was made for printing")

    case("plain.png", saved(rgb, "plain.png", format="PNG"))
    case("grey.png", saved(rgb.convert("L"), "grey.png", format="PNG"))
    case("two-colours.png", saved(rgb.convert("1", dither=0), "two-colours.png", format="PNG"))
    case("palette.png", saved(rgb.quantize(16, dither=0), "palette.png", format="PNG"))
    alpha = rgb.copy()
    alpha.putalpha(Image.fromarray(numpy.tile(numpy.linspace(0, 255, WIDE).astype(numpy.uint8),
                                              (HIGH, 1))))
    case("alpha.png", saved(alpha, "alpha.png", format="PNG"))
    sixteen = numpy.tile(numpy.linspace(0, 65535, WIDE).astype(numpy.uint16), (HIGH, 1))
    opened = saved(Image.fromarray(sixteen), "sixteen-bits.png", format="PNG")
    eight = Image.fromarray((numpy.asarray(opened).astype(float) * 255 / 65535)
                            .round().astype(numpy.uint8))
    case("sixteen-bits.png", eight)
    turned = PngImagePlugin.PngInfo()
    opened = saved(rgb, "turned.png", format="PNG", exif=exif(6), pnginfo=turned)
    case("turned.png", ImageOps.exif_transpose(opened), taken="2026-03-04T09:30:05")
    second = Image.fromarray(255 - scene())
    opened = saved(rgb, "moving.png", format="PNG", save_all=True, append_images=[second])
    case("moving.png", opened, note="this picture moves")

    case("lossy.webp", saved(rgb, "lossy.webp", format="WEBP", quality=95))
    case("lossless.webp", saved(rgb, "lossless.webp", format="WEBP", lossless=True))
    case("alpha.webp", saved(alpha, "alpha.webp", format="WEBP", lossless=True, exact=True))
    opened = saved(rgb, "turned.webp", format="WEBP", lossless=True, exif=exif(8))
    case("turned.webp", ImageOps.exif_transpose(opened), taken="2026-03-04T09:30:05")
    opened = saved(rgb, "moving.webp", format="WEBP", save_all=True, append_images=[second],
                   lossless=True)
    case("moving.webp", opened, note="this picture moves")

    # A profile whose red and green are changed over: what is not brought to sRGB cannot pass.
    profile = swapped_profile()
    opened = saved(rgb, "profile.jpg", format="JPEG", icc_profile=profile, **fine)
    case("profile.jpg", to_srgb(opened, profile))
    opened = saved(rgb, "profile.png", format="PNG", icc_profile=profile)
    case("profile.png", to_srgb(opened, profile))

    result = {
        "made_by": "tests/oracles/photos_pillow.py",
        "versions": {"python": platform.python_version(), "pillow": PIL.__version__,
                     "piexif": piexif.VERSION, "numpy": numpy.__version__,
                     "libjpeg-turbo": features.version("libjpeg_turbo"),
                     "webp": features.version("webp"), "littlecms2": features.version("littlecms2")},
        "cases": cases,
    }
    path = pathlib.Path(__file__).with_suffix(".json")
    path.write_text(json.dumps(result, indent=1) + "\n", encoding="utf-8")


def swapped_profile():
    """sRGB's profile with the columns of red and green changed over (ICC.1: rXYZ and gXYZ)."""
    data = bytearray(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    count = int.from_bytes(data[128:132], "big")
    for n in range(count):
        at = 132 + 12 * n
        name = bytes(data[at:at + 4])
        if name in (b"rXYZ", b"gXYZ"):
            data[at:at + 4] = {b"rXYZ": b"gXYZ", b"gXYZ": b"rXYZ"}[name]
    return bytes(data)


def to_srgb(image, profile):
    return ImageCms.profileToProfile(image.convert("RGB"), io.BytesIO(profile),
                                     ImageCms.createProfile("sRGB"), outputMode="RGB")


if __name__ == "__main__":
    main()
