using Keyline.DemoFarm;

if (args.Length != 1)
{
    Console.Error.WriteLine("Name the folder to write the demo farm into.");
    return 2;
}

FarmFiles.Write(args[0]);
return 0;
