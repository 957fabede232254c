using TextureClass = Keyline.Water.SoilTexture;

namespace Keyline.Fieldwork.Tests;

public sealed class SiteReaderTests
{
    [Fact]
    public void Units_StandInTheNames()
    {
        SiteFacts a = Site.Facts("pan_depth_in=10, pan_bottom_cm=30, strength_psi=300, ksat_in_h=1, clay_g_kg=250, sand_pct=40, salinity_ms_m=200, organic_carbon_pct=1");
        Assert.Equal(0.254, a.PanTop, 1e-12);
        Assert.Equal(0.30, a.PanBottom, 1e-12);
        Assert.Equal(2.0684e6, a.Strength, 100.0);
        Assert.Equal(25.4, a.Conductivity * 3.6e6, 1e-9);
        Assert.All([(0.25, a.Clay), (0.4, a.Sand), (2, a.Salinity), (1.724, a.OrganicMatter)], p => Assert.Equal(p.Item1, p.Item2, 1e-12));
        Assert.True(a.HasPan);
    }

    [Theory]
    [InlineData("pan_depth=25", "does not say its unit")]
    [InlineData("pan_depth_cm=deep", "must be a number")]
    [InlineData("cover_pct=140", "must be a number from 0 to 100")]
    [InlineData("texture=gravel", "must be a texture class")]
    [InlineData("drainage=fine", "must be a class of drainage")]
    [InlineData("emerson_class=2.5", "a class from 1 to 8")]
    [InlineData("cracking=perhaps", "must be yes or no")]
    [InlineData("sand_pct=80, clay_pct=30", "more than the whole")]
    [InlineData("pan_depth_cm=40, pan_bottom_cm=30", "above its beginning")]
    [InlineData("pan=no, pan_depth_cm=40", "says that there is no pan")]
    public void WhatCannotBe_IsRefusedWithItsPlace(string line, string because)
    {
        GroundDataException e = Assert.Throws<GroundDataException>(() => Site.Facts(line));
        Assert.StartsWith("made, feature 1: ", e.Message, StringComparison.Ordinal);
        Assert.Contains(because, e.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void WhatIsNoFact_IsNamedOnce()
    {
        List<string> notes = [];
        SiteReader.Read([Site.Record("owner=Anna, texture=loam"), Site.Record("owner=Ben, colour=red")], null, notes);
        Assert.Equal(["Attributes of the sites that are no facts here: colour, owner."], notes);
        Assert.Throws<GroundDataException>(() => SiteReader.Read([], null, notes));
    }

    // Exchangeable sodium of a sodium adsorption ratio of 13: 0.17915 / 1.17915, 15.19 % (USDA Handbook 60, 1954, chapter 2, where 13 and 15 bound sodic soil).
    [Fact]
    public void Surveys_AreReadByTheirOwnNames()
    {
        SiteFacts us = Site.Facts("muname=Made loam, TEXCL=Fine sandy loam, brockdepmin=76, drclassdcd=Somewhat poorly drained, sar_r=13, ec_r=3, om_r=2, ksat_r=9, slopegraddcp=4, musym=12", SiteFields.Ready("ssurgo"));
        Assert.Equal((TextureClass.SandyLoam, SoilDrainage.SomewhatPoor), (us.Texture, us.Drainage));
        Assert.Equal(15.193, us.ExchangeableSodium, 0.01);
        Assert.Equal((0.76, 3, 2, 9e-6, 0.04), (us.RockDepth, us.Salinity, us.OrganicMatter, us.Conductivity, us.Slope));
        SiteFacts world = Site.Facts("T_USDA_TEX_CLASS=5, DRAINAGE=3, T_ESP=9, T_OC=1", SiteFields.Ready("HWSD"));
        Assert.Equal((TextureClass.ClayLoam, SoilDrainage.SomewhatPoor, 9), (world.Texture, world.Drainage, world.ExchangeableSodium));
        Assert.Null(SiteFields.Ready("other"));
        SiteFacts own = Site.Facts("TEX=2, DEEP=40", SiteFields.Parse("""{"rock_depth_cm": "deep", "texture": {"from": "TEX", "codes": {"2": "clay"}}}""", "map.json"));
        Assert.Equal((TextureClass.Clay, 0.4), (own.Texture, own.RockDepth));
    }

    [Theory]
    [InlineData("[]", "is no map of names")]
    [InlineData("{}", "names no attribute")]
    [InlineData("""{"depth_cm": "A"}""", "is no fact about a site")]
    [InlineData("""{"pan_depth": "A"}""", "does not say its unit")]
    [InlineData("""{"pan_depth_cm": 4}""", "is no map of names")]
    public void AMapThatIsNone_IsRefused(string json, string because) =>
        Assert.Contains(because, Assert.Throws<GroundDataException>(() => SiteFields.Parse(json, "map.json")).Message, StringComparison.Ordinal);

    // The ten soils of Saxton and Rawls 2006, table 3, and corners of the triangle of the USDA Soil Survey Manual, chapter 3.
    [Theory]
    [InlineData(88, 5, TextureClass.Sand)]
    [InlineData(80, 5, TextureClass.LoamySand)]
    [InlineData(65, 10, TextureClass.SandyLoam)]
    [InlineData(40, 20, TextureClass.Loam)]
    [InlineData(20, 15, TextureClass.SiltLoam)]
    [InlineData(60, 25, TextureClass.SandyClayLoam)]
    [InlineData(30, 35, TextureClass.ClayLoam)]
    [InlineData(10, 35, TextureClass.SiltyClayLoam)]
    [InlineData(10, 45, TextureClass.SiltyClay)]
    [InlineData(25, 50, TextureClass.Clay)]
    [InlineData(50, 40, TextureClass.SandyClay)]
    [InlineData(0, 0, TextureClass.SiltLoam)]
    [InlineData(0, 100, TextureClass.Clay)]
    [InlineData(52, 7, TextureClass.Loam)]
    [InlineData(60, 3, TextureClass.SandyLoam)]
    public void Triangle_OfKnownSoils(double sand, double clay, TextureClass texture) => Assert.Equal(texture, TextureTriangle.ClassOf(sand / 100, clay / 100));

    [Fact]
    public void Triangle_HasNoHole()
    {
        HashSet<TextureClass> met = [];
        for (int s = 0; s <= 100; s++)
        {
            for (int c = 0; s + c <= 100; c++)
            {
                TextureClass texture = TextureTriangle.ClassOf(s / 100.0, c / 100.0);
                met.Add(texture);

                // "Clay" is what is left over: it may only stand where there is clay.
                Assert.True(texture != TextureClass.Clay || c >= 40, $"{s} {c}");
            }
        }

        Assert.Equal(11, met.Count);
    }

    [Theory]
    [InlineData("SiCL", TextureClass.SiltyClayLoam)]
    [InlineData("very fine sandy loam", TextureClass.SandyLoam)]
    [InlineData("gravelly clay loam", TextureClass.ClayLoam)]
    [InlineData("sandy-clay-loam", TextureClass.SandyClayLoam)]
    [InlineData("Heavy clay", TextureClass.Clay)]
    [InlineData("silt", TextureClass.SiltLoam)]
    public void Textures_AreFoundByTheirNames(string name, TextureClass texture) => Assert.Equal(texture, TextureTriangle.Find(name));
}
