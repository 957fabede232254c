using System.Text.Json;
using System.Text.RegularExpressions;
using Keyline.Elevation;
using Keyline.Formats.Tests.Support;

namespace Keyline.Formats.Tests.Rasters;

/// <summary>Unusual and broken rasters against what GDAL 3.6.2 reads from them (recorded beside the files).</summary>
public sealed class OddRasterTests
{
    private static readonly GroundCrs Utm10 = GroundCrs.FromEpsg(32610);

    [Theory]
    [InlineData("a01_baseline_strip.tif")]
    [InlineData("a02_tiled_lzw_pred2_float.tif")]
    [InlineData("a03_tiled_deflate_pred3.tif")]
    [InlineData("a07_packbits_be.tif")]
    [InlineData("a08_float64.tif")]
    [InlineData("a09_float16_nbits.tif")]
    [InlineData("a11_pixel_is_point.tif")]
    [InlineData("a15_nodata_neg9999_holes.tif")]
    [InlineData("a17_nan_no_tag.tif")]
    [InlineData("a18_zero_holes_no_tag.tif")]
    [InlineData("a19_internal_mask.tif")]
    [InlineData("a20_cog_overviews.tif")]
    [InlineData("a21_three_bands_separate.tif")]
    [InlineData("a26_world_file_only.tif")]
    [InlineData("a27_sparse_tiles.tif")]
    [InlineData("a29_single_row.tif")]
    [InlineData("b01_xllcenter.asc")]
    [InlineData("b02_crlf_tabs_upper_sci.asc")]
    [InlineData("b03_values_wrapped.asc")]
    [InlineData("d_byte_point.tif")]
    [InlineData("d_epsg26730_with_linear_units_set.tif")]
    [InlineData("d_float32_lzw_predictor_3_big_endian.tif")]
    [InlineData("d_nan32_nodata.tif")]
    public void Read_ReadableFile_AgreesWithGdal(string file)
    {
        ElevationSource source = ElevationReader.Read(TrialData.File("odd", file), new ElevationReadOptions { Crs = Utm10 });
        JsonElement gdal = Expected(file);
        GridFrame frame = source.Grid.Frame;
        Assert.Equal(gdal.GetProperty("rows").GetInt32(), frame.Rows);
        Assert.Equal(gdal.GetProperty("cols").GetInt32(), frame.Columns);
        double[] gt = [.. gdal.GetProperty("gt").EnumerateArray().Select(v => v.GetDouble())];
        Assert.Equal(gt[0], frame.West, 1e-6);
        Assert.Equal(gt[3], frame.North, 1e-6);
        Assert.Equal(gt[1], frame.CellSize, 1e-9);
        int[] cell = [.. gdal.GetProperty("cell").EnumerateArray().Select(v => v.GetInt32())];
        double value = gdal.GetProperty("value").GetDouble();
        float read = source.Grid[cell[0], cell[1]];
        Assert.Equal((float)value, read);
        int missing = source.Grid.Heights.ToArray().Count(float.IsNaN);
        Assert.Equal(Math.Max(gdal.GetProperty("masked").GetInt32(), gdal.GetProperty("nonfinite").GetInt32()), missing);
        Assert.Equal((float)gdal.GetProperty("min").GetDouble(), source.Grid.Heights.ToArray().Where(z => !float.IsNaN(z)).Min());
        Assert.Equal((float)gdal.GetProperty("max").GetDouble(), source.Grid.Heights.ToArray().Where(z => !float.IsNaN(z)).Max());
    }

    [Fact]
    public void Read_ScaleAndOffset_AppliedAfterNodataTest()
    {
        ElevationGrid grid = ElevationReader.Read(TrialData.File("odd", "a10_int16_scale_offset.tif")).Grid;
        Assert.Equal(265.5f, grid[10, 20]);
        Assert.Equal(71, grid.Heights.ToArray().Count(float.IsNaN));
    }

    [Fact]
    public void Read_AlphaBand_IsMissingWhereClear()
    {
        ElevationGrid grid = ElevationReader.Read(TrialData.File("odd", "a22_two_bands_contig_alpha.tif")).Grid;
        Assert.Equal(265.51f, grid[10, 20]);
        Assert.Equal(71, grid.Heights.ToArray().Count(float.IsNaN));
    }

    [Fact]
    public void Read_SurveyFeetAcrossAndUp_BecomeMetres()
    {
        ElevationSource source = ElevationReader.Read(TrialData.File("odd", "a24_stateplane_ftus_compound.tif"));

        // The file holds the baseline's heights in US survey feet on cells of 1 m.
        Assert.Equal(265.51, source.Grid[10, 20], 1e-4);
        Assert.Equal(1.0, source.Grid.Frame.CellSize, 1e-9);
        Assert.Equal(5_900_000 * 1200.0 / 3937.0, source.Grid.Frame.West, 1e-6);
        Assert.Contains(source.Notes, n => n.Contains("US survey foot", StringComparison.Ordinal));
    }

    [Fact]
    public void Read_Degrees_AreResampledToTheUtmZone()
    {
        ElevationSource source = ElevationReader.Read(TrialData.File("odd", "a23_geographic_degrees.tif"));
        ElevationSource baseline = ElevationReader.Read(TrialData.File("odd", "a01_baseline_strip.tif"));
        Assert.Equal(32610, source.Crs.EpsgCode);
        Assert.InRange(source.Grid.Frame.CellSize, 0.85, 0.95);

        // Cell centre (row 10, column 20) of the file, in longitude and latitude.
        (double x, double y) = source.Crs.FromLonLat(-120.82 + (20.5e-5), 35.93 - (10.5e-5));
        Assert.Equal(baseline.Grid[10, 20], source.Grid.HeightAt(x, y), 0.25);
        Assert.Contains(source.Notes, n => n.Contains("degrees", StringComparison.Ordinal));
    }

    [Fact]
    public void Read_Rotated_KeepsHeightsAtTheirPlaces()
    {
        ElevationSource source = ElevationReader.Read(TrialData.File("odd", "a13_rotated_20deg.tif"));
        ElevationSource baseline = ElevationReader.Read(TrialData.File("odd", "a01_baseline_strip.tif"));

        // GDAL's six terms for the file.
        const double cos = 0.93969262, sin = 0.34202014;
        for (int r = 5; r < 48; r += 7)
        {
            for (int c = 5; c < 66; c += 10)
            {
                double x = 696682 + (cos * (c + 0.5)) + (sin * (r + 0.5));
                double y = 3977846 + (sin * (c + 0.5)) - (cos * (r + 0.5));
                Assert.Equal(baseline.Grid[r, c], source.Grid.HeightAt(x, y), 0.2);
            }
        }
    }

    [Fact]
    public void Read_OblongCells_AreResampledToSquareOnes()
    {
        ElevationGrid grid = ElevationReader.Read(TrialData.File("odd", "a14_nonsquare_1x2m.tif")).Grid;
        Assert.Equal((54, 71, 1.0), (grid.Frame.Rows, grid.Frame.Columns, grid.Frame.CellSize));

        // File row 10 is centred at 21 m from the north, on the edge between rows 20 and 21.
        Assert.Equal(262.76, grid.HeightAt(696682 + 20.5, 3977846 - 21), 0.05);
    }

    [Fact]
    public void Read_InfinitiesAndSpike_AreMissingAndReported()
    {
        ElevationSource source = ElevationReader.Read(TrialData.File("odd", "a31_inf_and_spike.tif"));
        Assert.Equal(2, source.Grid.Heights.ToArray().Count(float.IsNaN));
        Assert.Contains(source.Notes, n => n.Contains("above 9000 m", StringComparison.Ordinal));
    }

    [Fact]
    public void Read_ZeroHoles_AreMissingWhenAskedFor()
    {
        ElevationGrid grid = ElevationReader.Read(TrialData.File("odd", "a18_zero_holes_no_tag.tif"), new ElevationReadOptions { MissingValue = 0 }).Grid;
        Assert.Equal(71, grid.Heights.ToArray().Count(float.IsNaN));
    }

    [Theory]
    [InlineData("b05_no_nodata_line.asc", 7)]
    [InlineData("b07_nan_tokens.asc", 7)]
    [InlineData("b08_utf8_bom.asc", 0)]
    [InlineData("d_nodata_nan.asc", 1)]
    public void Read_AsciiOddities_GiveTheMissingCellsDescribed(string file, int missing)
    {
        ElevationGrid grid = ElevationReader.Read(TrialData.File("odd", file), new ElevationReadOptions { Crs = Utm10 }).Grid;
        Assert.Equal(missing, grid.Heights.ToArray().Count(float.IsNaN));
    }

    [Theory]
    [InlineData("a04_zstd_pred3.tif", "ZSTD")]
    [InlineData("a05_lerc_deflate.tif", "34887")]
    [InlineData("a28_one_cell.tif", "275.44 m")]
    [InlineData("a30_all_nodata.tif", "missing")]
    [InlineData("a32_flat.tif", "123.25 m")]
    [InlineData("b04_decimal_comma.asc", "decimal point")]
    [InlineData("b09_too_few_values.asc", "32 of the 48")]
    [InlineData("b10_too_many_values.asc", "more than the 48")]
    [InlineData("b12_zero_cellsize.asc", "cell size")]
    [InlineData("c01_truncated_half.tif", "cut short")]
    [InlineData("c02_empty.tif", "empty")]
    [InlineData("c03_text_named_tif.tif", "neither a GeoTIFF")]
    [InlineData("c04_ifd_offset_past_end.tif", "beyond the end")]
    [InlineData("c06_dimension_bomb.tif", "2000000000")]
    [InlineData("c07_unknown_compression.tif", "60123")]
    [InlineData("c08_corrupt_deflate.tif", "damaged")]
    [InlineData("c09_zero_pixel_scale.tif", "cell size is 0")]
    [InlineData("c10_nan_pixel_scale.tif", "not a number")]
    [InlineData("d_byte_truncated.tif", "cut short")]
    [InlineData("d_byte_zstd_corrupted.tif", "ZSTD")]
    [InlineData("d_float24.tif", "24-bit")]
    [InlineData("d_huge4GB.tif", "65535")]
    [InlineData("d_pixel_per_line_comma.asc", "decimal point")]
    [InlineData("d_toomanyblocks.tif", "60000")]
    [InlineData("d_unsupported_codec_unknown.tif", "44510")]
    public void Read_UnusableFile_IsRefusedInOneSentence(string file, string says)
    {
        string path = TrialData.File("odd", file);
        GroundDataException e = Assert.Throws<GroundDataException>(() => ElevationReader.Read(path, new ElevationReadOptions { Crs = Utm10 }));
        Assert.StartsWith(file, e.Message, StringComparison.Ordinal);
        Assert.Contains(says, e.Message, StringComparison.Ordinal);
        Assert.EndsWith(".", e.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("a26_world_file_only.tif", "CRS")]
    [InlineData("b01_xllcenter.asc", "CRS")]
    [InlineData("d_tiff_vertcs_scale_offset.tif", "26711")]
    [InlineData("d_epsg_2853_with_us_feet.tif", "feet")]
    public void Read_NoUsableSystem_IsRefused(string file, string says)
    {
        string path = TrialData.File("odd", file);
        GroundDataException e = Assert.Throws<GroundDataException>(() => ElevationReader.Read(path));
        Assert.Contains(says, e.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("d_ModelTiepointTag_z_non_zero_but_ModelPixelScaleTag_z_zero.tif", "all of its heights are 107 m")]
    [InlineData("d_bigtiff_four_strip_be_short.tif", "where its cells lie")]
    [InlineData("d_epsg4326_3855_geotiff1_1.tif", "all of its heights are 0 m")]
    [InlineData("d_float32_almost_nodata_max_float32.tif", "all of its heights are 0 m")]
    [InlineData("d_float32_with_nodata_slightly_above_float_max.tif", "where its cells lie")]
    [InlineData("d_geomatrix.tif", "outside where WGS 84 / UTM zone 10N")]
    [InlineData("d_negative_scaley.tif", "all of its heights are 107 m")]
    [InlineData("d_non_square_pixels.tif", "all of its heights are 0 m")]
    [InlineData("d_sparse_nodata_one.tif", "where its cells lie")]
    [InlineData("d_tiled_blockysize_larger_than_rasterysize.tif", "where its cells lie")]
    [InlineData("d_uint16_nodata_65535_bigtiff.tif", "where its cells lie")]
    public void Open_FileWithoutGroundToPlan_HoldsWhatGdalReadsAndIsRefusedAsGround(string file, string says)
    {
        string path = TrialData.File("odd", file);
        ElevationReadOptions options = new() { Crs = Utm10 };
        Assert.Contains(says, Assert.Throws<GroundDataException>(() => ElevationReader.Read(path, options)).Message, StringComparison.Ordinal);
        JsonElement gdal = Expected(file);
        string folder = Directory.CreateTempSubdirectory("keyline-odd-").FullName;
        try
        {
            bool placed = gdal.GetProperty("gt").ValueKind == JsonValueKind.Array;
            if (!placed)
            {
                // As its user would mend it: a world file beside it.
                File.Copy(path, Path.Combine(folder, file));
                path = Path.Combine(folder, file);
                File.WriteAllText(Path.ChangeExtension(path, ".tfw"), "1\n0\n0\n-1\n700000.5\n3999999.5\n");
            }

            using FileStream stream = File.OpenRead(path);
            using RawFile raw = GeoTiffReader.Open(stream, file, new Sidecars(path), options);
            Assert.Equal(gdal.GetProperty("rows").GetInt32(), raw.Rows);
            Assert.Equal(gdal.GetProperty("cols").GetInt32(), raw.Columns);
            double[] gt = placed ? [.. gdal.GetProperty("gt").EnumerateArray().Select(v => v.GetDouble())] : [700_000, 1, 0, 4_000_000, 0, -1];
            Assert.Equal(gt, [raw.Mapping.X, raw.Mapping.A, raw.Mapping.B, raw.Mapping.Y, raw.Mapping.C, raw.Mapping.D], (a, b) => Math.Abs(a - b) < 1e-6);
            float[] heights = raw.Read(raw.Whole, TestContext.Current.CancellationToken);
            Assert.Equal(gdal.GetProperty("masked").GetInt32(), heights.Count(float.IsNaN));
            int[] cell = [.. gdal.GetProperty("cell").EnumerateArray().Select(v => v.GetInt32())];
            float read = heights[(cell[0] * raw.Columns) + cell[1]];
            if (heights.Any(z => !float.IsNaN(z)))
            {
                Assert.Equal((float)gdal.GetProperty("value").GetDouble(), read);
                Assert.Equal((float)gdal.GetProperty("min").GetDouble(), heights.Where(z => !float.IsNaN(z)).Min());
                Assert.Equal((float)gdal.GetProperty("max").GetDouble(), heights.Where(z => !float.IsNaN(z)).Max());
            }
        }
        finally
        {
            Directory.Delete(folder, true);
        }
    }

    [Fact]
    public void Read_BigEndianBigTiffOfACodecForWhichThatIsUnread_NamesTheWayOut()
    {
        byte[] file = File.ReadAllBytes(TrialData.File("odd", "d_bigtiff_four_strip_be_short.tif"));
        int compression = file.AsSpan().IndexOf(new byte[] { 1, 3, 0, 3 });
        file[compression + 13] = 5;
        UnreadFormatException e = Assert.Throws<UnreadFormatException>(() => GeoTiffReader.Open(new MemoryStream(file), "lzw.tif", new Sidecars(null), new ElevationReadOptions { Crs = Utm10 }));
        Assert.Contains("BigTIFF with the most significant byte first", e.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Read_SpacingsOfTwoSizes_AreResampledToTheSmaller()
    {
        ElevationGrid grid = ElevationReader.Read(TrialData.File("odd", "b06_dx_dy.asc"), new ElevationReadOptions { Crs = Utm10 }).Grid;
        Assert.Equal((12, 8, 1.0), (grid.Frame.Rows, grid.Frame.Columns, grid.Frame.CellSize));

        // File row 2, column 3 (273.88) is centred 5 m below the north edge, 3852 being GDAL's.
        Assert.Equal(273.88, grid.HeightAt(696682 + 3.5, 3977852 - 5), 0.01);
    }

    [Fact]
    public void Open_FirstValueNaN_HoldsTheOneHeightThere()
    {
        string path = TrialData.File("odd", "d_starting_with_nan.asc");
        using FileStream stream = File.OpenRead(path);
        using RawFile raw = AsciiGridReader.Open(stream, "d_starting_with_nan.asc", new Sidecars(path), new ElevationReadOptions { Crs = Utm10 });
        float[] heights = raw.Read(raw.Whole, TestContext.Current.CancellationToken);
        Assert.Equal(24, heights.Count(float.IsNaN));
        Assert.Equal(1f, heights[(2 * 5) + 2]);
    }

    private static JsonElement Expected(string file)
    {
        // The record holds bare NaN and Infinity, which JSON does not know.
        string text = Regex.Replace(File.ReadAllText(TrialData.File("odd", "expected.json")), @"(?<=[\s,\[])(-?Infinity|NaN)(?=\s*[,\]}])", "null");
        using JsonDocument document = JsonDocument.Parse(text);
        return document.RootElement.GetProperty(file).GetProperty("gdal").Clone();
    }
}
