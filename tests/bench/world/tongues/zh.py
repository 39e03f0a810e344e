"""An exporter's mix of Chinese and English."""

from .en import TONGUE as ENGLISH

TONGUE = dict(ENGLISH)
TONGUE.update({
    "for": (" for ", " 适用 "),
    "nouns": {
        "recoil-starter": ("手拉启动器 Recoil starter", "手拉盘 Recoil Starter Assy", "Recoil starter 反冲起动器", "拉盘 Pull starter"),
        "shroud": ("导风罩 Fan shroud", "风罩 Fan cover", "导风罩(不带拉盘) Fan shroud without recoil"),
        "assembly": ("手拉启动器带导风罩 Recoil starter with shroud", "拉盘+导风罩总成 Recoil and fan cover assembly"),
    },
    "colours": {"red": "红色 red", "black": "黑色 black", "blue": "蓝色 blue", "yellow": "黄色 yellow", "white": "白色 white"},
    "headers": {**ENGLISH["headers"],
                "sku": ("货号 Item No.",), "mpn": ("厂家编号 Mfr No.",), "brand": ("品牌 Brand",), "title": ("品名 Description",),
                "fits": ("适用机型 Application",), "displacement": ("排量 Displacement",), "spacing_circle": ("孔距圆 Bolt circle mm",),
                "spacing_unsaid": ("孔距 Hole distance mm",), "price": ("单价 Unit Price",), "currency": ("币种 Currency",),
                "pack_quantity": ("每包数量 Pcs/lot",), "minimum_order": ("起订量 MOQ",), "gtin": ("条码 EAN",), "weight": ("重量 G.W. kg",),
                "bolt_holes": ("孔数 Holes",), "fastener": ("螺栓 Bolt",), "replaces": ("原厂编号 OEM No.",), "stock": ("库存 Stock",)},
    "sections": {"recoil-starter": "手拉启动器 Recoil starters", "shroud": "导风罩 Fan shrouds", "assembly": "总成 Starter with shroud",
                 "aside": "配件 Spare parts"},
    "total": ("小计 Subtotal {s}", "合计 Total", "END"),
    "aside": (
        ("rope", "启动绳 Starter rope{f}"), ("spring", "发条 Recoil spring{f}"), ("pawl", "拨爪 Recoil starter pawl{f}"), ("cup", "启动杯 Starter cup{f}"),
        ("grip", "拉手 Starter handle{f}"), ("starter-motor", "启动电机 Starter motor 12V{f}"), ("solenoid", "启动继电器 Starter relay{f}"),
        ("carburettor", "化油器 Carburetor{f}"), ("reel", "绳轮 Recoil reel{f}"), ("flywheel", "飞轮 Flywheel{f}"), ("fan", "风扇 Cooling fan{f}"),
        ("repair-kit", "手拉启动器修理包 Recoil starter repair kit{f}"), ("ignition-coil", "点火线圈 Ignition coil{f}"), ("air-filter", "空滤 Air filter{f}"),
        ("muffler", "消声器 Muffler{f}"), ("fuel-tank", "油箱 Fuel tank{f}"),
    ),
})
